import { fail, ok, type Problem, type Result } from '../result/index.js';

/** One line of a loading sheet. Removed mass is negative, an arm ahead of (or left of) the datum too. */
export interface LoadItem {
	readonly id: string;
	readonly massKg: number;
	readonly armM: number;
	readonly lateralArmM?: number | undefined;
}

export interface Loading {
	readonly massKg: number;
	readonly momentKgM: number;
	/** Centre of gravity from the datum. */
	readonly cgM: number;
	readonly lateralMomentKgM: number;
	readonly lateralCgM: number;
}

export interface LoadingProblem extends Problem {
	readonly code: 'not-a-number' | 'no-mass' | 'fuel-runs-out' | 'bad-envelope' | 'unknown-item' | 'out-of-range';
}

/** Mass and centre of gravity of a list of items. Problems: `not-a-number`, `no-mass`. @rule AIR-7 */
export function loadingOf(items: readonly LoadItem[]): Result<Loading, LoadingProblem> {
	const bad = items.findIndex(
		({ massKg, armM, lateralArmM = 0 }) => ![massKg, armM, lateralArmM].every(Number.isFinite),
	);
	if (bad >= 0) return fail({ code: 'not-a-number', found: items[bad]?.id, needed: 'mass and arm', path: `$[${bad}]` });
	const sum = (of: (item: LoadItem) => number): number => items.reduce((total, item) => total + of(item), 0);
	const massKg = sum((item) => item.massKg);
	if (!(massKg > 0)) return fail({ code: 'no-mass', found: massKg, needed: 'a sum above zero' });
	const momentKgM = sum((item) => item.massKg * item.armM);
	const lateralMomentKgM = sum((item) => item.massKg * (item.lateralArmM ?? 0));
	return ok({
		massKg,
		momentKgM,
		cgM: momentKgM / massKg,
		lateralMomentKgM,
		lateralCgM: lateralMomentKgM / massKg,
	});
}

/** A flight's fuel: which item holds it, and how fast it goes. */
export interface FuelBurn {
	readonly item: string;
	readonly burnKgPerH: number;
}

/**
 * Loading after a time of flight, fuel burned off its own item. Problems: `unknown-item`, `out-of-range`, and
 * `fuel-runs-out` when more would be gone than was there. @rule AIR-8
 */
export function loadingAfter(
	items: readonly LoadItem[],
	{ item, burnKgPerH }: FuelBurn,
	elapsedH: number,
): Result<Loading, LoadingProblem> {
	if (!(elapsedH >= 0 && burnKgPerH >= 0)) {
		return fail({ code: 'out-of-range', found: { elapsedH, burnKgPerH }, needed: 'zero or more' });
	}
	const fuel = items.find(({ id }) => id === item);
	if (fuel === undefined) return fail({ code: 'unknown-item', found: item, needed: items.map(({ id }) => id) });
	const burnedKg = burnKgPerH * elapsedH;
	if (burnedKg > fuel.massKg)
		return fail({ code: 'fuel-runs-out', found: burnedKg, needed: `at most ${fuel.massKg} kg` });
	return loadingOf(items.map((one) => (one === fuel ? { ...one, massKg: one.massKg - burnedKg } : one)));
}
