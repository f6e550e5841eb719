import { parentPort, workerData } from 'node:worker_threads';
import { auditTrials } from './audit-trials.js';
import { CELLS } from './cells.js';
import { flyCell } from './convergence.js';
import type { BenchTask } from './in-workers.js';
import { SHAPES } from './rotor-shape.js';

const WRONG = { gainSd: 0.3, phaseSdDeg: 30, statedShare: 1, remainderSdIps: 0.01, defectIps: 0 };

const { part, id, firstSeed, rotors } = workerData as BenchTask;
if (part === 'convergence') {
	const cell = CELLS.find((candidate) => candidate.id === id)!;
	parentPort!.postMessage(flyCell(cell, firstSeed, rotors, () => performance.now()));
} else {
	const shape = Object.values(SHAPES).find((candidate) => candidate.id === id)!;
	// What a mistake was is told by its name; the function that wrote it down stays here.
	const trials = auditTrials(shape, WRONG, firstSeed, rotors).map((trial) => ({
		...trial,
		mistake: trial.mistake === null ? null : { id: trial.mistake.id, scope: trial.mistake.scope },
	}));
	parentPort!.postMessage(trials);
}
