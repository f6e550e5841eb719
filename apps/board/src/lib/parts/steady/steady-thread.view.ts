/** A sample of the parameter that must be held. `atS` counts back: −20 to 0. */
export interface ThreadSample {
	readonly atS: number;
	readonly value: number;
}

export interface ThreadDrawing {
	/** Pieces of thread inside and outside the walls, in a box of 100 by 100. */
	readonly inside: readonly string[];
	readonly outside: readonly string[];
	readonly upperWallPct: number;
	readonly lowerWallPct: number;
	readonly endPct: number | null;
}

const upperWallPct = 25;
const lowerWallPct = 75;

/** The last seconds as a thread between its two walls. */
export function threadDrawing(
	samples: readonly ThreadSample[],
	band: { readonly low: number; readonly high: number },
	windowS: number,
): ThreadDrawing {
	const pieces: { readonly isInside: boolean; readonly places: string[] }[] = [];
	const up = (value: number) => {
		const share = (value - band.low) / (band.high - band.low);
		return Math.min(98, Math.max(2, lowerWallPct - share * (lowerWallPct - upperWallPct)));
	};
	for (const sample of samples.filter((one) => one.atS >= -windowS && one.atS <= 0)) {
		const isInside = sample.value >= band.low && sample.value <= band.high;
		const place = `${round(100 + (sample.atS / windowS) * 100)} ${round(up(sample.value))}`;
		const last = pieces.at(-1);
		if (last === undefined) pieces.push({ isInside, places: [place] });
		else {
			last.places.push(place);
			if (last.isInside !== isInside) pieces.push({ isInside, places: [place] });
		}
	}
	const paths = (isInside: boolean) =>
		pieces
			.filter((piece) => piece.isInside === isInside && piece.places.length > 1)
			.map((piece) => `M${piece.places.join(' L')}`);
	const newest = samples.at(-1);
	return {
		inside: paths(true),
		outside: paths(false),
		upperWallPct,
		lowerWallPct,
		endPct: newest === undefined ? null : up(newest.value),
	};
}

function round(pct: number): number {
	return Math.round(pct * 100) / 100;
}
