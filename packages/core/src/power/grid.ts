import type { AxisRange, GridChart, NestedNumbers, Quantities } from './chart-model.js';
import { curveAt } from './curve.js';

/** A value beyond a chart: which axis, its range there, and what was found. */
export interface Beyond extends AxisRange {
	readonly found: number;
}

/** Value of a grid, innermost axis first; every quantity must be there. */
export function gridValue({ axes, values, interpolation }: GridChart, quantities: Quantities): number | Beyond {
	for (const { id, values: knots } of axes) {
		const beyond = beyondKnots(id, knots, quantities[id] ?? Number.NaN);
		if (beyond !== undefined) return beyond;
	}
	const read = (nested: NestedNumbers | number, level: number): number => {
		const axis = axes[level];
		if (axis === undefined || typeof nested === 'number') {
			if (typeof nested === 'number' && axis === undefined) return nested;
			throw new RangeError('a grid holds one level of lists for each axis');
		}
		const inner = nested.map((item) => read(item, level + 1));
		return curveAt(axis.values, inner, quantities[axis.id] ?? Number.NaN, interpolation);
	};
	return read(values, 0);
}

/** What is told of a value beyond the first or last knot; nothing when it lies within. */
export function beyondKnots(axis: string, knots: readonly number[], found: number): Beyond | undefined {
	const [atLeast, atMost] = [knots[0] ?? Number.NaN, knots.at(-1) ?? Number.NaN];
	return found >= atLeast && found <= atMost ? undefined : { axis, atLeast, atMost, found };
}
