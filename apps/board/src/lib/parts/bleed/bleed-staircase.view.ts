import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import type { ListRow } from '../list/list-row.js';
import { type Plot, pathThrough, plotOf, type Spot, wallStrokesAlong } from '../plot/plot.view.js';

/** A held temperature with its 95 % range, °C. */
export interface HeldTemperature {
	readonly valueC: number;
	readonly low95C: number;
	readonly high95C: number;
}

/** Temperature with the consumer off, on, and off again, and the rise that is expected. */
export interface BleedRise {
	readonly offC: HeldTemperature;
	readonly onC: HeldTemperature | null;
	readonly offAgainC: HeldTemperature | null;
	readonly expectedRiseC: { readonly low: number; readonly high: number };
}

export interface BleedTread {
	readonly word: string;
	readonly path: string;
	readonly middle: number;
	readonly rangePath: string;
	readonly valueText: string;
}

export interface BleedDrawing {
	readonly width: number;
	readonly height: number;
	readonly plot: Plot;
	readonly treads: readonly BleedTread[];
	readonly risers: string;
	/** Dotted line of the temperature without bleed. */
	readonly baseLine: string;
	readonly walls: readonly { readonly face: string; readonly strokes: string }[];
	readonly rise: { readonly dimension: string; readonly text: string; readonly textAt: Spot } | null;
}

const box = { left: 52, top: 34, width: 360, height: 190 } as const;
const tread = box.width / 3;
const height = box.top + box.height + 60;

/** Three treads, two risers, and the band the middle tread should stand in. */
export function bleedDrawing(bleed: BleedRise): BleedDrawing {
	const offs = bleed.offAgainC === null ? [bleed.offC] : [bleed.offC, bleed.offAgainC];
	const baseC = offs.reduce((sum, off) => sum + off.valueC, 0) / offs.length;
	const all = [bleed.offC, bleed.onC, bleed.offAgainC].filter((held) => held !== null);
	const lowC = Math.min(...all.map((held) => held.low95C));
	const highC = Math.max(baseC + bleed.expectedRiseC.high, ...all.map((held) => held.high95C));
	const air = (highC - lowC) * 0.18;
	const temperature = { label: '', unit: '\u00b0C', low: lowC - air, high: highC + air, digits: 0 };
	const plot = plotOf({ label: '', unit: '', low: 0, high: 3, digits: 0 }, temperature, box);
	const held = [
		{ word: english.bleed.off, temperature: bleed.offC },
		{ word: english.bleed.on, temperature: bleed.onC },
		{ word: english.bleed.offAgain, temperature: bleed.offAgainC },
	];
	const treads = held.flatMap((one, index) =>
		one.temperature === null ? [] : [treadOf(one.word, one.temperature, index, plot)],
	);
	return {
		width: box.left + box.width + 140,
		height,
		plot: { ...plot, columns: [] },
		treads,
		risers: risersOf([bleed.offC, bleed.onC, bleed.offAgainC], plot),
		baseLine: pathThrough([
			{ x: box.left, y: plot.up(baseC) },
			{ x: box.left + box.width, y: plot.up(baseC) },
		]),
		walls: [
			wallOf(plot.up(baseC + bleed.expectedRiseC.high), 'above'),
			wallOf(plot.up(baseC + bleed.expectedRiseC.low), 'below'),
		],
		rise: bleed.onC === null ? null : riseOf(baseC, bleed.onC.valueC, plot),
	};
}

function treadOf(word: string, held: HeldTemperature, index: number, plot: Plot): BleedTread {
	const left = box.left + tread * index;
	const y = plot.up(held.valueC);
	const middle = left + tread / 2;
	return {
		word,
		middle,
		path: `M${left + 4} ${y} H${left + tread - 4}`,
		rangePath: `M${middle} ${plot.up(held.low95C)} V${plot.up(held.high95C)}`,
		valueText: `${numberText(held.valueC, { digits: 0 })} \u00b0C`,
	};
}

function risersOf(held: readonly (HeldTemperature | null)[], plot: Plot): string {
	return held
		.slice(1)
		.map((next, index) => {
			const before = held[index];
			if (next === null || before === null || before === undefined) return '';
			return `M${box.left + tread * (index + 1)} ${plot.up(before.valueC)} V${plot.up(next.valueC)}`;
		})
		.filter((piece) => piece !== '')
		.join(' ');
}

function wallOf(y: number, forbidden: 'above' | 'below') {
	const face = [
		{ x: box.left + tread, y },
		{ x: box.left + 2 * tread, y },
	];
	return { face: pathThrough(face), strokes: wallStrokesAlong(face, forbidden) };
}

/** A dimension line as on a drawing: two short ends, the rise written beside it. */
function riseOf(baseC: number, onC: number, plot: Plot) {
	const x = box.left + box.width + 12;
	const low = plot.up(baseC);
	const high = plot.up(onC);
	return {
		dimension: `M${box.left + 2 * tread - 4} ${high} H${x + 6} M${x} ${low} V${high} M${x - 5} ${low + 5} L${x + 5} ${low - 5} M${x - 5} ${high + 5} L${x + 5} ${high - 5}`,
		text: fill(english.bleed.rise, { degrees: `${numberText(onC - baseC, { digits: 0, signed: true })} \u00b0C` }),
		textAt: { x: x + 10, y: (low + high) / 2 },
	};
}

/** The staircase told as a list. */
export function bleedList(bleed: BleedRise): readonly ListRow[] {
	const drawing = bleedDrawing(bleed);
	const held = (what: string, temperature: HeldTemperature | null) =>
		temperature === null ? { what, words: english.verdict.missing } : { what, words: rangeWords(temperature) };
	return [
		held(english.bleed.off, bleed.offC),
		held(english.bleed.on, bleed.onC),
		held(english.bleed.offAgain, bleed.offAgainC),
		{
			what: english.bleed.expected,
			words: fill(english.bleed.expectedWords, {
				low: numberText(bleed.expectedRiseC.low, { digits: 0 }),
				high: `${numberText(bleed.expectedRiseC.high, { digits: 0 })} \u00b0C`,
			}),
		},
		...(drawing.rise === null ? [] : [{ what: english.bleed.found, words: drawing.rise.text }]),
	];
}

function rangeWords(held: HeldTemperature): string {
	return fill(english.bleed.range, {
		value: `${numberText(held.valueC, { digits: 0 })} \u00b0C`,
		low: numberText(held.low95C, { digits: 0 }),
		high: `${numberText(held.high95C, { digits: 0 })} \u00b0C`,
	});
}
