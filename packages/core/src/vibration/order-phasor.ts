import type { Complex } from '../phasor/index.js';

/** Cosines and sines of the orders at equal angles of one revolution. */
export interface OrderTable {
	readonly orders: readonly number[];
	readonly points: number;
	/** Points that a wave has before the revolution and after it. */
	readonly reach: number;
	readonly rows: readonly OrderRow[];
}

interface OrderRow {
	/**
	 * A whole order repeats itself after half a revolution, with the same sign when it is even and the opposite when it is
	 * odd, so half a revolution of sums or differences does for it.
	 */
	readonly over: 'whole' | 'sums' | 'differences';
	readonly cosines: Float64Array;
	readonly sines: Float64Array;
}

/** Builds the table once for many revolutions. Orders need not be whole, as with a tail rotor geared to the main rotor. */
export function orderTable(orders: readonly number[], points: number, reach = 0): OrderTable {
	const rows = orders.map((order): OrderRow => {
		const folds = Number.isInteger(order) && points % 2 === 0;
		const first = folds ? 0 : -reach;
		const length = folds ? points / 2 : points + 2 * reach;
		const row = (of: (angle: number) => number) =>
			Float64Array.from({ length }, (_, k) => of((2 * Math.PI * order * (first + k)) / points));
		const halves = order % 2 === 0 ? 'sums' : 'differences';
		return { over: folds ? halves : 'whole', cosines: row(Math.cos), sines: row(Math.sin) };
	});
	return { orders, points, reach, rows };
}

/**
 * Lag phasors of one revolution at equal angles: amplitude is the peak, the angle is what the rotor turns from the pulse
 * to the positive peak. Σx·cos + i·Σx·sin is the conjugate of the Fourier bin.
 * @param wave `table.points` values, the first at the pulse, with the table's reach before and after them
 */
export function orderPhasors(wave: Float64Array, table: OrderTable): Complex[] {
	const { points, reach } = table;
	const half = points >> 1;
	const sums = new Float64Array(half);
	const differences = new Float64Array(half);
	for (let k = 0; k < half; k++) {
		const value = wave[reach + k] as number;
		const opposite = wave[reach + k + half] as number;
		sums[k] = value + opposite;
		differences[k] = value - opposite;
	}
	// a whole order repeats itself: what reaches over the ends belongs a revolution on or back
	const fold = (from: number, at: number): void => {
		const value = wave[from] as number;
		const place = ((at % points) + points) % points;
		const k = place % half;
		sums[k] = (sums[k] as number) + value;
		differences[k] = (differences[k] as number) + (place < half ? value : -value);
	};
	for (let k = 0; k < reach; k++) {
		fold(k, k - reach);
		fold(reach + points + k, k);
	}
	const sources = { whole: wave, sums, differences };
	const share = 2 / points;
	return table.rows.map(({ over, cosines, sines }) => project(sources[over], cosines, sines, share));
}

function project(source: Float64Array, cosines: Float64Array, sines: Float64Array, share: number): Complex {
	const { length } = cosines;
	let re = 0;
	let im = 0;
	let nextRe = 0;
	let nextIm = 0;
	// two points in one pass: the sums do not wait for each other
	for (let k = 0; k + 1 < length; k += 2) {
		const value = source[k] as number;
		const next = source[k + 1] as number;
		re += value * (cosines[k] as number);
		im += value * (sines[k] as number);
		nextRe += next * (cosines[k + 1] as number);
		nextIm += next * (sines[k + 1] as number);
	}
	if (length % 2 === 1) {
		re += (source[length - 1] as number) * (cosines[length - 1] as number);
		im += (source[length - 1] as number) * (sines[length - 1] as number);
	}
	return { re: (re + nextRe) * share, im: (im + nextIm) * share };
}
