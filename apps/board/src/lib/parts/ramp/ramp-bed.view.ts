import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import type { ListRow } from '../list/list-row.js';
import type { Axis } from '../plot/axis.js';
import { type Plot, pathAround, pathThrough, plotOf, type Spot, wallStrokesAlong } from '../plot/plot.view.js';
import { spreadApart } from '../plot/spread.js';

/** The ramp to fly: from one power to another in a set time, the limit above it; null where the signal has none. */
export interface IdealRamp {
	readonly fromPct: number;
	readonly toPct: number;
	readonly rampS: number;
	readonly limitPct: number | null;
}

export interface RampSample {
	readonly atS: number;
	readonly valuePct: number;
}

/** An attempt; drawn as a dotted, a thin or a thick line. */
export interface RampAttempt {
	readonly id: string;
	readonly role: 'first' | 'best' | 'newest';
	readonly samples: readonly RampSample[];
}

export interface RampLine {
	readonly id: string;
	readonly role: RampAttempt['role'];
	readonly path: string;
	/** Where its name stands, clear of the others'. */
	readonly nameAt: Spot | null;
	readonly word: string;
}

export interface RampDrawing {
	readonly width: number;
	readonly height: number;
	readonly plot: Plot;
	readonly wedge: string;
	readonly wall: string;
	readonly wallStrokes: string;
	readonly lines: readonly RampLine[];
	/** Everything past the wall, for clipping. */
	readonly beyondWall: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
}

/** True slope: one second and one percent always have these lengths, so two beds compare by eye. */
const unitsPerSecond = 110;
const unitsPerPercent = 2.6;
const nameGap = 22;
const margin = { left: 48, right: 78, top: 32, bottom: 56 } as const;

/** The bed for a ramp with the lines flown over it. */
export function rampDrawing(ideal: IdealRamp, attempts: readonly RampAttempt[], label: string): RampDrawing {
	const ends = attempts.flatMap((attempt) => attempt.samples);
	const lastS = Math.max(ideal.rampS * 1.75, ...ends.map((sample) => sample.atS));
	const lowPct = tidyDown(Math.min(ideal.fromPct, ideal.toPct, ...ends.map((sample) => sample.valuePct)) - 2);
	const highPct = tidyUp(
		Math.max(
			(ideal.limitPct ?? Math.max(ideal.fromPct, ideal.toPct)) + 4,
			...ends.map((sample) => sample.valuePct + 1),
		),
	);
	const time: Axis = { label: english.ramp.time, unit: 's', low: 0, high: lastS, digits: 0 };
	const power: Axis = { label, unit: '%', low: lowPct, high: highPct, digits: 0 };
	const box = {
		left: margin.left,
		top: margin.top,
		width: lastS * unitsPerSecond,
		height: (highPct - lowPct) * unitsPerPercent,
	};
	const plot = plotOf(time, power, box, { columns: Math.max(2, Math.ceil(lastS)), rows: 5 });
	const spot = (sample: RampSample) => ({ x: plot.across(sample.atS), y: plot.up(sample.valuePct) });
	const limitY = ideal.limitPct === null ? 0 : plot.up(ideal.limitPct);
	const limitFace = [
		{ x: box.left, y: limitY },
		{ x: box.left + box.width, y: limitY },
	];
	const face = ideal.limitPct === null ? [] : limitFace;
	const lastSpots = attempts.map((attempt) => spot(attempt.samples.at(-1) ?? { atS: lastS, valuePct: ideal.toPct }));
	const nameHeights = spreadApart(
		lastSpots.map((last) => last.y),
		nameGap,
	);
	const nameSpots = lastSpots.map((last, index) => ({ x: last.x + 7, y: nameHeights[index] ?? last.y }));
	return {
		width: box.left + box.width + margin.right,
		height: box.top + box.height + margin.bottom,
		plot,
		wedge: pathAround([
			spot({ atS: 0, valuePct: lowPct }),
			spot({ atS: 0, valuePct: ideal.fromPct }),
			spot({ atS: ideal.rampS, valuePct: ideal.toPct }),
			spot({ atS: lastS, valuePct: ideal.toPct }),
			spot({ atS: lastS, valuePct: lowPct }),
		]),
		wall: pathThrough(face),
		wallStrokes: wallStrokesAlong(face, 'above'),
		lines: attempts.map((attempt, index) => ({
			id: attempt.id,
			role: attempt.role,
			path: pathThrough(attempt.samples.map(spot)),
			nameAt: nameSpots[index] ?? null,
			word: english.ramp[attempt.role],
		})),
		beyondWall: { x: box.left, y: 0, width: box.width, height: limitY },
	};
}

function tidyDown(pct: number): number {
	return Math.floor(pct / 10) * 10;
}

function tidyUp(pct: number): number {
	return Math.ceil(pct / 5) * 5;
}

/** The bed told as a list: the ideal, then each attempt's highest value. */
export function rampList(ideal: IdealRamp, attempts: readonly RampAttempt[]): readonly ListRow[] {
	return [
		{
			what: english.ramp.ideal,
			words: rampWords(ideal),
		},
		...attempts.map((attempt) => ({ what: english.ramp[attempt.role], words: highestWords(attempt) })),
	];
}

function rampWords({ fromPct, toPct, rampS, limitPct }: IdealRamp): string {
	const ends = { from: percentText(fromPct), to: percentText(toPct), time: secondText(rampS) };
	return limitPct === null
		? fill(english.ramp.rampOnly, ends)
		: fill(english.ramp.rampWords, { ...ends, limit: percentText(limitPct) });
}

function highestWords(attempt: RampAttempt): string {
	const highest = attempt.samples.reduce<RampSample | null>(
		(best, sample) => (best === null || sample.valuePct > best.valuePct ? sample : best),
		null,
	);
	if (highest === null) return english.ramp.empty;
	return fill(english.ramp.highest, { value: percentText(highest.valuePct), time: secondText(highest.atS) });
}

function percentText(pct: number): string {
	return `${numberText(pct, { digits: 1 })} %`;
}

function secondText(seconds: number): string {
	return `${numberText(seconds, { digits: 1 })} s`;
}
