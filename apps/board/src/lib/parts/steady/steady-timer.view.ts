import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';

/** A steady period. The clock counts only while the aircraft is steady, or while a pen declares it so. */
export interface SteadyPeriod {
	readonly neededS: number;
	readonly heldS: number;
	readonly state: 'waiting' | 'inside' | 'outside' | 'declared' | 'done';
	/** Initial of the pen that declares it steady. */
	readonly pen?: string;
}

export interface SteadyDrawing {
	/** One stroke per second, or per `secondsPerStroke` when there are many. */
	readonly strokes: readonly { readonly second: number; readonly share: number }[];
	readonly secondsPerStroke: number;
	/** Seconds still to hold, whole, rounded up: never "0" before it is done. */
	readonly leftText: string;
	readonly heldText: string;
	readonly word: string;
}

const mostStrokes = 30;

/** Seconds as strokes to be filled one by one. */
export function steadyDrawing(period: SteadyPeriod): SteadyDrawing {
	const secondsPerStroke = Math.max(1, Math.ceil(period.neededS / mostStrokes));
	const count = Math.ceil(period.neededS / secondsPerStroke);
	const left = Math.max(0, Math.ceil(period.neededS - period.heldS - 1e-9));
	return {
		strokes: Array.from({ length: count }, (_, index) => ({
			second: index * secondsPerStroke,
			share: Math.min(1, Math.max(0, (period.heldS - index * secondsPerStroke) / secondsPerStroke)),
		})),
		secondsPerStroke,
		leftText: `${numberText(left, { digits: 0 })} s`,
		heldText: fill(english.steady.held, {
			held: numberText(Math.min(period.neededS, Math.floor(period.heldS + 1e-9)), { digits: 0 }),
			needed: numberText(period.neededS, { digits: 0 }),
		}),
		word: wordOf(period),
	};
}

function wordOf(period: SteadyPeriod): string {
	switch (period.state) {
		case 'declared':
			return fill(english.steady.declared, { pen: period.pen ?? '' }).trim();
		default:
			return english.steady[period.state];
	}
}
