import { type Complex, turnBy, wrap360 } from '../../phasor/index.js';
import type { Adjuster, RotorProblem } from '../model.js';

/** What may have happened instead of what was written down. */
export interface Hypothesis {
	readonly id: string;
	/** Adjusters, station or channel it is about. */
	readonly scope: readonly string[];
	/** Chance before the reading is looked at. */
	readonly prior: number;
	/** Per adjuster, what its recorded change did, as a complex multiple of its own pull: 1 as recorded, −1 reversed. */
	readonly change: readonly Complex[];
	readonly reading: ReadingAct;
	/** Settings that stand if this is true; null where they cannot be told as settings. */
	readonly settings: Readonly<Record<string, number>> | null;
}

/** What was done to the true level of every channel before it was written down. */
export type ReadingAct =
	| { readonly act: 'none' }
	| { readonly act: 'turned'; readonly angleDeg: number }
	| { readonly act: 'mirrored' }
	| { readonly act: 'reversed'; readonly station: string }
	| { readonly act: 'swapped'; readonly stations: readonly [string, string] }
	| { readonly act: 'unrelated'; readonly channel: string }
	| { readonly act: 'unlike-any' };

/**
 * Chances before any reading. Mistakes are taken as about equally likely, none is rare enough to be hidden by its
 * rarity; how often they are named wrongly is measured in docs/methods/balance.md.
 */
const priors = {
	'as-recorded': 0.6,
	'next-arm': 0.03,
	'previous-arm': 0.03,
	'swapped-arms': 0.03,
	'sign-reversed': 0.03,
	'not-made': 0.03,
	doubled: 0.02,
	'reference-moved': 0.03,
	'phase-sense': 0.02,
	polarity: 0.03,
	'stations-swapped': 0.02,
	outlier: 0.02,
	'none-fits': 0.004,
} as const;

const asIs: Complex = { re: 1, im: 0 };

/** All hypotheses about the last change and the last run's readings. `before` and `after` are settings per adjuster. */
export function hypothesesOf(problem: RotorProblem, before: readonly number[], after: readonly number[]): Hypothesis[] {
	const changed = problem.adjusters.map((_, j) => j).filter((j) => before[j] !== after[j]);
	return [
		whole(problem, 'as-recorded', { act: 'none' }, [], priors['as-recorded'], after),
		...(changed.length > 0 ? changeHypotheses(problem, before, after, changed) : []),
		...readingHypotheses(problem, after),
	];
}

function whole(
	problem: RotorProblem,
	id: string,
	reading: ReadingAct,
	scope: readonly string[],
	prior: number,
	after: readonly number[],
): Hypothesis {
	return { id, scope, prior, change: problem.adjusters.map(() => asIs), reading, settings: named(problem, after) };
}

function named(problem: RotorProblem, settings: readonly number[]): Record<string, number> {
	return Object.fromEntries(problem.adjusters.map((a, j) => [a.id, settings[j]!]));
}

/** Mistakes in making the change: the whole of it, or one adjuster's part. */
function changeHypotheses(
	problem: RotorProblem,
	before: readonly number[],
	after: readonly number[],
	changed: readonly number[],
): Hypothesis[] {
	const scopes = changed.length > 1 ? [changed, ...changed.map((j) => [j])] : [changed];
	// half the chance to the whole change, half over its parts
	const share = (index: number): number => (scopes.length === 1 ? 1 : index === 0 ? 0.5 : 0.5 / (scopes.length - 1));
	const simple = (id: 'sign-reversed' | 'not-made' | 'doubled', factor: number): Hypothesis[] =>
		scopes.flatMap((scope, n) => {
			const settings = after.map((to, j) => (scope.includes(j) ? before[j]! + factor * (to - before[j]!) : to));
			if (!insideRanges(problem, settings)) return [];
			const change = after.map((_, j) => (scope.includes(j) ? { re: factor, im: 0 } : asIs));
			return [hypothesis(problem, id, scope, priors[id] * share(n), change, settings)];
		});
	const moved = (id: 'next-arm' | 'previous-arm', by: 1 | -1): Hypothesis[] =>
		scopes.flatMap((scope, n) => {
			const settings = [...after];
			let told = true;
			const change = after.map((_, j) => {
				if (!scope.includes(j)) return asIs;
				const adjuster = problem.adjusters[j]!;
				const angle = neighbourDeg(problem, adjuster, by);
				const target = problem.adjusters.findIndex((a) => a.kind === adjuster.kind && sameAngle(a.passAngleDeg, angle));
				const step = after[j]! - before[j]!;
				settings[j]! -= step;
				if (target < 0) told = false;
				else settings[target]! += step;
				return turnBy(angle - adjuster.passAngleDeg);
			});
			if (told && !insideRanges(problem, settings)) return [];
			return [hypothesis(problem, id, scope, priors[id] * share(n), change, told ? settings : null)];
		});
	return [
		...moved('next-arm', 1),
		...moved('previous-arm', -1),
		...swaps(problem, before, after, changed),
		...simple('sign-reversed', -1),
		...simple('not-made', 0),
		...simple('doubled', 2),
	];
}

/** Two points of one kind exchanged, at least one of them changed. */
function swaps(
	problem: RotorProblem,
	before: readonly number[],
	after: readonly number[],
	changed: readonly number[],
): Hypothesis[] {
	const found: Hypothesis[] = [];
	for (const i of changed) {
		for (const [j, other] of problem.adjusters.entries()) {
			const mine = problem.adjusters[i]!;
			if (j === i || other.kind !== mine.kind || (changed.includes(j) && j < i)) continue;
			const settings = [...after];
			settings[i] = before[i]! + after[j]! - before[j]!;
			settings[j] = before[j]! + after[i]! - before[i]!;
			if (!insideRanges(problem, settings)) continue;
			const there = turnBy(other.passAngleDeg - mine.passAngleDeg);
			const back = turnBy(mine.passAngleDeg - other.passAngleDeg);
			const change = after.map((_, n) => (n === i ? there : n === j ? back : asIs));
			found.push(hypothesis(problem, 'swapped-arms', [i, j], priors['swapped-arms'], change, settings));
		}
	}
	return found.map((h) => ({ ...h, prior: h.prior / found.length }));
}

function hypothesis(
	problem: RotorProblem,
	id: string,
	scope: readonly number[],
	prior: number,
	change: readonly Complex[],
	settings: readonly number[] | null,
): Hypothesis {
	return {
		id,
		scope: scope.map((j) => problem.adjusters[j]!.id),
		prior,
		change,
		reading: { act: 'none' },
		settings: settings ? named(problem, settings) : null,
	};
}

/** Mistakes in reading: pulse, sense, polarity, wiring, one bad value. */
function readingHypotheses(problem: RotorProblem, after: readonly number[]): Hypothesis[] {
	const stations = [...new Set(problem.channels.map((c) => c.station))];
	const spacing = 360 / Math.max(1, problem.rotor.blades.length);
	const make = (id: string, reading: ReadingAct, scope: readonly string[], prior: number): Hypothesis =>
		whole(problem, id, reading, scope, prior, after);
	const pairs = stations.flatMap((a, n) => stations.slice(n + 1).map((b) => [a, b] as const));
	return [
		make('reference-moved', { act: 'turned', angleDeg: spacing }, [], priors['reference-moved'] / 2),
		make('reference-moved', { act: 'turned', angleDeg: -spacing }, [], priors['reference-moved'] / 2),
		make('phase-sense', { act: 'mirrored' }, [], priors['phase-sense']),
		...stations.map((s) =>
			make(`polarity:${s}`, { act: 'reversed', station: s }, [s], priors.polarity / stations.length),
		),
		...pairs.map((pair) =>
			make('stations-swapped', { act: 'swapped', stations: pair }, pair, priors['stations-swapped'] / pairs.length),
		),
		...problem.channels.map((c) =>
			make(`outlier:${c.id}`, { act: 'unrelated', channel: c.id }, [c.id], priors.outlier / problem.channels.length),
		),
		make('none-fits', { act: 'unlike-any' }, [], priors['none-fits']),
	];
}

/** Pass angle of the blade (or point of the kind, where it sits on no blade) that comes `by` places after this one. */
function neighbourDeg(problem: RotorProblem, adjuster: Adjuster, by: 1 | -1): number {
	const places =
		(adjuster.blade ?? null) !== null
			? problem.rotor.blades.map((b) => b.passAngleDeg)
			: problem.adjusters.filter((a) => a.kind === adjuster.kind).map((a) => a.passAngleDeg);
	const own = wrap360(adjuster.passAngleDeg);
	const ahead = (angle: number): number => wrap360(by * (angle - own));
	const others = places.filter((p) => !sameAngle(p, own));
	return others.length === 0 ? own : others.reduce((best, p) => (ahead(p) < ahead(best) ? p : best), others[0]!);
}

function sameAngle(a: number, b: number): boolean {
	const apart = wrap360(a - b);
	return apart < 1e-6 || apart > 360 - 1e-6;
}

function insideRanges(problem: RotorProblem, settings: readonly number[]): boolean {
	return problem.adjusters.every((a, j) => settings[j]! >= a.min - 1e-9 && settings[j]! <= a.max + 1e-9);
}
