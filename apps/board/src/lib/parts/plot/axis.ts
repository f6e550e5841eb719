import { numberText } from '$lib/words/number.js';

/** One axis of a drawing: what it shows, its range and how its numbers are written. */
export interface Axis {
	readonly label: string;
	readonly unit: string;
	readonly low: number;
	readonly high: number;
	readonly digits: number;
	readonly isSigned?: boolean;
}

export interface Tick {
	readonly value: number;
	readonly text: string;
}

/** Tidy step (1, 2 or 5 times a power of ten) that cuts a length into at most `most` steps. */
export function tidyStep(length: number, most: number): number {
	const power = 10 ** Math.floor(Math.log10(length / most));
	return power * ([1, 2, 5].find((share) => length / (share * power) <= most + 1e-9) ?? 10);
}

/** Tidy values inside an axis, from low to high. */
export function axisTicks(axis: Axis, most: number): readonly Tick[] {
	const step = tidyStep(axis.high - axis.low, most);
	const first = Math.ceil(axis.low / step - 1e-9);
	const last = Math.floor(axis.high / step + 1e-9);
	return Array.from({ length: last - first + 1 }, (_, index) => {
		const value = (first + index) * step;
		return { value, text: numberText(value, { digits: axis.digits, signed: axis.isSigned ?? false }) };
	});
}
