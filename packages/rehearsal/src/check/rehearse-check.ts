import {
	type Change,
	checkRotor,
	type RotorProblem,
	type RotorProblemFault,
	type Run,
	solveRotor,
} from '@stillmast/core/balance';
import { ok, type Result } from '@stillmast/core/result';
import { seededDraw } from '../random.js';
import { HiddenRotor, type TailSpread, usualTail } from '../rotor/hidden-fault.js';

export interface RehearsedCheck {
	/** In the order flown, with the settings each was flown at: as a real check's runs. */
	readonly runs: readonly Run[];
	/** Changes of the aircraft between runs. */
	readonly corrections: number;
	/** The last run reads inside every limit. */
	readonly isInside: boolean;
}

/**
 * Rehearses a whole rotor smoothing: a run is read from a rotor with a hidden fault, the recommended change is made, and so
 * on until every reading is inside its limit.
 * @param problem table, limits and scatter of the type; of its runs only the first one's settings count: it starts there
 * @param seed of the tail
 * @param mostCorrections after which it stops, inside or not
 */
export function rehearseCheck(
	problem: RotorProblem,
	seed: number,
	mostCorrections: number,
	spread: TailSpread = usualTail,
): Result<RehearsedCheck, RotorProblemFault> {
	const checked = checkRotor(problem);
	if (!checked.ok) return checked;
	const rotor = new HiddenRotor(problem, spread, seededDraw(seed));
	let settings: Readonly<Record<string, number>> = problem.runs?.[0]?.settings ?? {};
	const runs: Run[] = [readRun(rotor, 1, settings)];
	for (let corrections = 0; ; corrections += 1) {
		const isInside = isRunInside(problem, runs.at(-1));
		if (isInside || corrections === mostCorrections) return ok({ runs, corrections, isInside });
		const solved = solveRotor({ ...problem, runs }, { seed: 1 });
		if (!solved.ok) return solved;
		const { proposals, recommended } = solved.value;
		const best = proposals[recommended ?? -1];
		if (best === undefined || best.touches === 0) return ok({ runs, corrections, isInside });
		settings = { ...settings, ...settingsOf(best.changes) };
		runs.push(readRun(rotor, runs.length + 1, settings));
	}
}

function readRun(rotor: HiddenRotor, number: number, settings: Readonly<Record<string, number>>): Run {
	const readings = rotor
		.read(settings)
		.map(({ channel, amplitudeIps, phaseDeg }) => [channel, { amplitudeIps, phaseDeg }] as const);
	return { id: String(number), settings, readings: Object.fromEntries(readings) };
}

function isRunInside({ channels }: RotorProblem, run: Run | undefined): boolean {
	return channels.every(
		({ id, limitIps }) => (run?.readings[id]?.amplitudeIps ?? Number.POSITIVE_INFINITY) <= limitIps,
	);
}

function settingsOf(changes: readonly Change[]): Readonly<Record<string, number>> {
	return Object.fromEntries(changes.map(({ adjuster, to }) => [adjuster, to]));
}
