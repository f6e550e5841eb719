import type { Samples } from './pulse-detector.js';

/**
 * Resamples one revolution to equal angles by cubic interpolation through four neighbouring samples, taking the speed as
 * constant within the revolution.
 * @param samples the column, whose first sample is number `first` of the record
 * @param from start of the revolution, in samples of the record; `to` its end
 * @param into receives `into.length` points, the first at `from`; NaN where a sample is missing
 * Source: cubic convolution (Catmull–Rom weights), R. G. Keys 1981 (from memory).
 */
export function resampleRevolution(
	samples: Samples,
	first: number,
	from: number,
	to: number,
	into: Float64Array,
): void {
	const points = into.length;
	const step = (to - from) / points;
	const start = from - first;
	const last = samples.length - 1;
	const inside = Math.floor(start) >= 1 && Math.floor(start + (points - 1) * step) + 2 <= last;
	for (let k = 0; k < points; k++) {
		const place = start + k * step;
		const cell = Math.floor(place);
		const f = place - cell;
		into[k] =
			inside || (cell >= 1 && cell + 2 <= last)
				? cubic(
						samples[cell - 1] as number,
						samples[cell] as number,
						samples[cell + 1] as number,
						samples[cell + 2] as number,
						f,
					)
				: atEdge(samples, cell, f);
	}
}

function cubic(before: number, left: number, right: number, after: number, f: number): number {
	return (
		left +
		0.5 *
			f *
			(right - before + f * (2 * before - 5 * left + 4 * right - after + f * (3 * (left - right) + after - before)))
	);
}

/** At the ends of the record the missing neighbour is taken from the line through the two nearest; beyond them there is no value. */
function atEdge(samples: Samples, cell: number, f: number): number {
	const left = samples[cell];
	if (left === undefined) return Number.NaN;
	if (f === 0) return left;
	const right = samples[cell + 1];
	if (right === undefined) return Number.NaN;
	return cubic(samples[cell - 1] ?? 2 * left - right, left, right, samples[cell + 2] ?? 2 * right - left, f);
}
