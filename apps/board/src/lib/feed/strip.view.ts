/** One sample on a strip; `atS` counts from "go". */
export interface StripSample {
	readonly atS: number;
	readonly value: number;
}

export interface StripScale {
	readonly fromS: number;
	readonly toS: number;
	readonly low: number;
	readonly high: number;
}

/** Drawing units of a strip: as long as it is wide on a desk, low enough that five stand under each other. */
export const stripSize = { width: 720, height: 84 } as const;

export interface StripDrawing {
	readonly line: string;
	/** The ideal ramp; empty when there is none. */
	readonly ideal: string;
	/** Height of each wall, and the strokes on its forbidden side. */
	readonly walls: readonly { readonly y: number; readonly strokes: string }[];
	/** Upright of "go"; null when it is off the strip. */
	readonly goX: number | null;
	readonly newest: { readonly x: number; readonly y: number } | null;
}

export interface StripWall {
	readonly at: number;
	readonly forbidden: 'above' | 'below';
}

const strokeEvery = 9;
const strokeLong = 8;
/** A wait longer than this between samples is a gap, not a line. */
const gapS = 0.4;

/** Draws one strip. Samples off its time are left out; a gap is left open. */
export function stripDrawing(
	samples: readonly StripSample[],
	{ fromS, toS, low, high }: StripScale,
	walls: readonly StripWall[] = [],
	ideal: readonly StripSample[] = [],
): StripDrawing {
	const { width, height } = stripSize;
	const x = (atS: number) => ((atS - fromS) / (toS - fromS)) * width;
	const y = (value: number) => height - ((Math.min(high, Math.max(low, value)) - low) / (high - low)) * height;
	const shown = samples.filter(({ atS }) => atS >= fromS && atS <= toS);
	const last = shown.at(-1);
	return {
		line: path(shown, x, y),
		ideal: path(ideal, x, y, Number.POSITIVE_INFINITY),
		walls: walls.map(({ at, forbidden }) => ({ y: y(at), strokes: strokes(y(at), forbidden) })),
		goX: fromS <= 0 && toS >= 0 ? x(0) : null,
		newest: last === undefined ? null : { x: x(last.atS), y: y(last.value) },
	};
}

function path(
	samples: readonly StripSample[],
	x: (atS: number) => number,
	y: (value: number) => number,
	breakS = gapS,
): string {
	return samples
		.map(({ atS, value }, at) => {
			const before = samples[at - 1];
			const begins = before === undefined || atS - before.atS > breakS || atS < before.atS;
			return `${begins ? 'M' : 'L'}${x(atS).toFixed(1)} ${y(value).toFixed(1)}`;
		})
		.join('');
}

function strokes(y: number, forbidden: StripWall['forbidden']): string {
	const side = forbidden === 'above' ? -1 : 1;
	const count = Math.floor(stripSize.width / strokeEvery);
	return Array.from({ length: count }, (_, at) => {
		const x = at * strokeEvery;
		return `M${x} ${y.toFixed(1)}l${strokeLong} ${side * strokeLong}`;
	}).join('');
}
