import { auditRun } from '../../src/balance/audit/audit-run.js';
import { hypothesesOf } from '../../src/balance/audit/hypotheses.js';
import { evidenceOf, readingsUnder, separation } from '../../src/balance/audit/likelihood.js';
import { type Audit, forecastOf, learnRotor, type RotorProblem, type Run } from '../../src/balance/index.js';
import { inside } from './campaign.js';
import { drawMistake, type Mistake } from './mistakes.js';
import type { RotorShape } from './rotor-shape.js';
import { type Seeded, seeded } from './seeded.js';
import { bend, drawRotor, fly, levelsAt, problemOf, type SimulatedRotor, type Wrongness } from './simulated-rotor.js';
import { learning } from './strategies.js';

/** One change audited. */
export interface AuditTrial {
	/** `first`: nothing but the table is known; `later`: one change has been made, flown and found to fit. */
	readonly when: 'first' | 'later';
	/** Null where the change was made as recorded. */
	readonly mistake: Mistake | null;
	/** Standard deviations of the prediction between the mistake and "as recorded"; 0 without a mistake. */
	readonly apartSd: number;
	readonly audit: Audit;
}

/** Audits the first and a later change of `rotors` rotors, each once as recorded and once with a mistake. */
export function auditTrials(shape: RotorShape, wrong: Wrongness, firstSeed: number, rotors: number): AuditTrial[] {
	const trials: AuditTrial[] = [];
	const done = { first: 0, later: 0 };
	const last = firstSeed + 20 * rotors;
	for (let seed = firstSeed; (done.first < rotors || done.later < rotors) && seed < last; seed++) {
		const random = seeded(40_000_000 + seed);
		const rotor = drawRotor(shape, wrong, seeded(30_000_000 + seed));
		const start = fly(rotor, 'run 1', rotor.found, levelsAt(rotor, rotor.found, still(rotor)), random);
		if (inside(rotor, start)) continue;
		const first = change(rotor, [start], still(rotor), random);
		if (first === null) continue;
		if (done.first < rotors) {
			trials.push(...first.trials('first'));
			done.first++;
		}
		if (done.later === rotors || inside(rotor, first.asRecorded.run)) continue;
		const runs = [start, first.asRecorded.run];
		if (auditRun(problemOf(rotor, runs))?.audit.fits !== true) continue;
		const second = change(rotor, runs, first.asRecorded.springback, random);
		if (second === null) continue;
		trials.push(...second.trials('later'));
		done.later++;
	}
	return trials;
}

interface Changed {
	readonly asRecorded: { readonly run: Run; readonly springback: readonly number[] };
	readonly trials: (when: AuditTrial['when']) => AuditTrial[];
}

function change(
	rotor: SimulatedRotor,
	runs: readonly Run[],
	springback: readonly number[],
	random: Seeded,
): Changed | null {
	const before = runs.at(-1)!.settings!;
	const recorded = LEARNING.decide(rotor, runs).settings;
	const mistake = drawMistake(rotor, before, recorded, random);
	if (mistake === null) return null;
	const id = `run ${runs.length + 1}`;
	const flownAt = (settings: Readonly<Record<string, number>>) => {
		const bent = bend(rotor.shape.adjusters, springback, before, settings, random);
		return {
			run: { ...fly(rotor, id, settings, levelsAt(rotor, settings, bent), random), settings: recorded },
			springback: bent,
		};
	};
	const asRecorded = flownAt(recorded);
	const wrong = flownAt(mistake.truly ?? recorded);
	const written = mistake.written?.(wrong.run) ?? wrong.run;
	return {
		asRecorded,
		trials: (when) => [
			{ when, mistake: null, apartSd: 0, audit: auditOf(rotor, [...runs, asRecorded.run]) },
			{
				when,
				mistake,
				apartSd: apartFrom(problemOf(rotor, [...runs, written]), before, recorded, mistake),
				audit: auditOf(rotor, [...runs, written]),
			},
		],
	};
}

const LEARNING = learning();

function auditOf(rotor: SimulatedRotor, runs: readonly Run[]): Audit {
	const audited = auditRun(problemOf(rotor, runs));
	if (audited === null) throw new Error('no audit');
	return audited.audit;
}

/** How far the mistake's reading is from the one recorded, in the sds of the forecast made before it. */
function apartFrom(problem: RotorProblem, before: Run['settings'], after: Run['settings'], mistake: Mistake): number {
	const runs = problem.runs!;
	const forecast = forecastOf(learnRotor(problem, runs.slice(0, -1)));
	const evidence = evidenceOf(problem, runs.at(-1)!.readings);
	const from = Float64Array.from(problem.adjusters, ({ id }) => before![id]!);
	const to = Float64Array.from(problem.adjusters, ({ id }) => after![id]!);
	const hypotheses = hypothesesOf(problem, [...from], [...to]);
	const recorded = readingsUnder(forecast, from, to, hypotheses.find(({ id }) => id === 'as-recorded')!);
	const same = hypotheses.filter(({ id, scope }) => id === mistake.id && sameSet(scope, mistake.scope));
	if (same.length === 0) return 0;
	return Math.min(...same.map((one) => separation(recorded, readingsUnder(forecast, from, to, one), evidence)));
}

function sameSet(a: readonly string[], b: readonly string[]): boolean {
	return a.length === b.length && a.every((item) => b.includes(item));
}

function still(rotor: SimulatedRotor): number[] {
	return rotor.shape.adjusters.map(() => 0);
}
