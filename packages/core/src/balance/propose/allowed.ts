import type { Adjuster, RotorProblem } from '../model.js';
import { pieceSums } from './pieces.js';
import { tidy } from './tidy.js';

/** Kinds that are mass: their all-round part has no once-per-rev effect and costs only weight. */
const massKinds = new Set(['mass', 'plate', 'washer', 'screw', 'weight', 'ballast']);

export function isMass(adjuster: Adjuster): boolean {
	return massKinds.has(adjuster.kind) || adjuster.pieces !== undefined;
}

/** Settings the adjuster may have, ascending: its `values`, sums of its pieces, or found + n·step inside min … max. */
export function allowedSettings(problem: RotorProblem, adjuster: Adjuster, found: number): number[] {
	if (isLocked(problem, adjuster)) return [found];
	const inside = (value: number): boolean => value >= adjuster.min - 1e-9 && value <= adjuster.max + 1e-9;
	if (adjuster.values) return ascending([...adjuster.values, found].filter(inside));
	if (adjuster.pieces) return ascending([...pieceSums(adjuster), found].filter(inside));
	const below = Math.floor((found - adjuster.min) / adjuster.step + 1e-9);
	const above = Math.floor((adjuster.max - found) / adjuster.step + 1e-9);
	const values: number[] = [];
	for (let n = -below; n <= above; n++) values.push(tidy(found + n * adjuster.step));
	return values.length > 0 ? values : [found];
}

export function isLocked(problem: RotorProblem, adjuster: Adjuster): boolean {
	if (problem.locked?.includes(adjuster.id)) return true;
	const reference = problem.untouchedBlade ?? null;
	return reference !== null && adjuster.blade === reference && !isMass(adjuster);
}

function ascending(values: readonly number[]): number[] {
	return [...new Set(values.map(tidy))].sort((a, b) => a - b);
}
