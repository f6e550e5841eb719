import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { spreadApart } from '../plot/spread.js';

/** Tip heights of every blade at one airspeed, millimetres, high positive. */
export interface TrackRegime {
	readonly id: string;
	/** "80 kt". */
	readonly label: string;
	readonly heightsMm: Readonly<Record<string, number>>;
}

export interface TrackLine {
	readonly blade: string;
	/** Path in a box of 100 by the drawing's millimetres. */
	readonly path: string;
	/** End of the line from the top, mm. */
	readonly endMm: number;
	/** Where its letter stands, moved apart from its neighbours, mm from the top. */
	readonly letterMm: number;
}

export interface TrackDrawing {
	readonly heightMm: number;
	readonly lines: readonly TrackLine[];
	readonly regimes: readonly {
		readonly id: string;
		readonly label: string;
		readonly acrossPct: number;
		readonly words: string;
	}[];
	readonly upperWallMm: number;
	readonly lowerWallMm: number;
	readonly limitWords: string;
	/** Places of the 10 mm ruler marks from the top. */
	readonly rulerMm: readonly { readonly atMm: number; readonly text: string }[];
}

const airMm = 5;
const letterGapMm = 5;

/**
 * Tip paths at true size. At each airspeed heights count from the middle between highest and lowest,
 * so every line stays between the walls exactly when the spread is at most the limit.
 */
export function trackDrawing(
	blades: readonly string[],
	regimes: readonly TrackRegime[],
	spreadLimitMm: number,
): TrackDrawing {
	const centred = regimes.map((regime) => centredHeights(regime, blades));
	const reachMm = Math.max(spreadLimitMm / 2, ...centred.flatMap((heights) => heights.map(Math.abs))) + airMm;
	const across = (index: number) => (regimes.length < 2 ? 50 : 4 + (index / (regimes.length - 1)) * 92);
	const ends = blades.map((_, blade) => reachMm - (centred.at(-1)?.[blade] ?? 0));
	const letters = spreadApart(ends, letterGapMm);
	return {
		heightMm: 2 * reachMm,
		lines: blades.map((blade, bladeIndex) => ({
			blade,
			path: `M${centred.map((heights, index) => `${across(index)} ${reachMm - (heights[bladeIndex] ?? 0)}`).join(' L')}`,
			endMm: ends[bladeIndex] ?? reachMm,
			letterMm: letters[bladeIndex] ?? reachMm,
		})),
		regimes: regimes.map((regime, index) => ({
			id: regime.id,
			label: regime.label,
			acrossPct: across(index),
			words: blades.map((blade) => `${blade} ${millimetres(regime.heightsMm[blade] ?? 0)}`).join(', '),
		})),
		upperWallMm: reachMm - spreadLimitMm / 2,
		lowerWallMm: reachMm + spreadLimitMm / 2,
		limitWords: fill(english.track.limit, { limit: `${numberText(spreadLimitMm, { digits: 0 })} mm` }),
		rulerMm: rulerOf(reachMm),
	};
}

function centredHeights(regime: TrackRegime, blades: readonly string[]): readonly number[] {
	const heights = blades.map((blade) => regime.heightsMm[blade] ?? 0);
	const middle = (Math.max(...heights) + Math.min(...heights)) / 2;
	return heights.map((height) => height - middle);
}

function rulerOf(reachMm: number): readonly { readonly atMm: number; readonly text: string }[] {
	const most = Math.floor(reachMm / 10);
	return Array.from({ length: 2 * most + 1 }, (_, index) => (most - index) * 10).map((height) => ({
		atMm: reachMm - height,
		text: height === 0 ? '0 mm' : numberText(height, { digits: 0, signed: true }),
	}));
}

function millimetres(height: number): string {
	return `${numberText(height, { digits: 0, signed: true })} mm`;
}
