import type { BoundTable, LineCondition } from './model.js';
import { maybe, never, type Status, surely } from './track.js';

/** A sample against a statement: status, and how far it is from changing. */
export interface Judged {
	readonly status: Status;
	readonly depth: number;
}

/** Beyond a bound by `by` (signed, larger is worse). The resolution widens what may be, never what is. @rule EXC-6 */
export function beyond(by: number, resolution: number): Judged {
	if (by > 0) return { status: surely, depth: Math.max(0, by - resolution) };
	if (by + resolution > 0) return { status: maybe, depth: 0 };
	return { status: never, depth: -by - resolution };
}

/**
 * A number against a condition, ends included. The indicated value is compared; how far it is from changing is less by
 * its step, since the quantity behind it may already stand at the edge of the step.
 */
export function meets(value: number, { atLeast, atMost, between, equals }: LineCondition, resolution = 0): Judged {
	const low = Math.max(atLeast ?? Number.NEGATIVE_INFINITY, between?.[0] ?? Number.NEGATIVE_INFINITY);
	const high = Math.min(atMost ?? Number.POSITIVE_INFINITY, between?.[1] ?? Number.POSITIVE_INFINITY);
	if (equals !== undefined && stateText(equals) !== stateText(value)) return { status: never, depth: 0 };
	const inside = Math.min(value - low, high - value);
	return { status: inside >= 0 ? surely : never, depth: Math.max(0, Math.abs(inside) - resolution) };
}

/** A state in words against a condition. */
export function stateMeets(state: string, { equals, atLeast, atMost, between }: LineCondition): Judged {
	const asked = atLeast === undefined && atMost === undefined && between === undefined && equals !== undefined;
	return { status: asked ? (stateText(equals) === state ? surely : never) : maybe, depth: 0 };
}

/** One spelling for what a column and a condition may call the same: 1 and true, 0 and false. */
export function stateText(value: number | string | boolean): string {
	if (typeof value === 'string') return value;
	return String(Number(value));
}

/** The bound at `at`, straight between the points; null outside them: a table is not extended. */
export function tableBound({ points }: BoundTable, at: number): number | null {
	const next = points.findIndex(([x]) => x >= at);
	const after = points[next];
	if (after === undefined) return null;
	if (after[0] === at) return after[1];
	const before = points[next - 1];
	if (before === undefined) return null;
	return before[1] + ((after[1] - before[1]) * (at - before[0])) / (after[0] - before[0]);
}

/** Steepest slope of a table, bound per unit of its parameter. */
export function steepest({ points }: BoundTable): number {
	let most = 0;
	points.forEach(([x, y], at) => {
		const before = points[at - 1];
		if (before !== undefined) most = Math.max(most, Math.abs((y - before[1]) / (x - before[0])));
	});
	return most;
}
