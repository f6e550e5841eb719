import type { PenName } from '../written/pen.js';

/** What may not be passed. A band has a wall on each side. `laneTo` says where a lane without an upper wall ends. */
export type Limit =
	| { readonly kind: 'at-most'; readonly limit: number }
	| { readonly kind: 'at-least'; readonly limit: number; readonly laneTo: number }
	| { readonly kind: 'band'; readonly low: number; readonly high: number };

/** A value with the range that holds it 95 times in 100; for a bare value both ends equal it. */
export interface RangedValue {
	readonly value: number;
	readonly low95: number;
	readonly high95: number;
}

/** A reading as the core judged it. */
export type LaneReading =
	| ({
			readonly state: 'inside' | 'near-inside' | 'near-outside' | 'outside' | 'stale' | 'off-condition';
	  } & RangedValue)
	| {
			readonly state: 'differing';
			readonly first: RangedValue & { readonly pen: PenName | null };
			readonly second: RangedValue & { readonly pen: PenName | null };
	  }
	| { readonly state: 'missing' }
	| { readonly state: 'cannot-judge'; readonly reason: string };

export type LaneState = LaneReading['state'];

/** Start and end across the lane, percent of its width. */
export interface Span {
	readonly from: number;
	readonly to: number;
}

export interface ValueStroke {
	readonly at: number;
	readonly pen: PenName | null;
}

/** What to draw in one lane; places are percent of its width. */
export interface LaneDrawing {
	readonly form: 'bar' | 'dotted-bar' | 'slanted-bar' | 'dotted-trough' | 'none';
	readonly trough: Span;
	readonly wallAt: number | null;
	readonly lowWallAt: number | null;
	readonly goalAt: number | null;
	/** Parts of the bar on the allowed side. */
	readonly free: readonly Span[];
	/** Parts of the bar past a wall. */
	readonly past: readonly Span[];
	readonly strokes: readonly ValueStroke[];
	/** The value or its bar lies beyond the drawing, at the right or at the left. */
	readonly isCut: boolean;
}

/** Where every upper wall stands, so that stacked lanes share one wall. */
export const wallAtPct = 60;
/** Where a lower wall stands. */
export const lowWallAtPct = 12;
/** Where a lane ends; the rest is room for the sign that something lies beyond. */
export const laneEndPct = 94;

/** Place of a value across the lane, percent, not yet clipped. The lane is scaled by its own limit. */
export function lanePlacePct(value: number, limit: Limit): number {
	switch (limit.kind) {
		case 'at-most':
			return limit.limit === 0 ? wallAtPct : (value / limit.limit) * wallAtPct;
		case 'at-least':
			return between(value, limit.limit, limit.laneTo, lowWallAtPct, laneEndPct);
		case 'band':
			return between(value, limit.low, limit.high, lowWallAtPct, wallAtPct);
	}
}

/** What one lane shows for a reading against its limit and goal. */
export function laneDrawing(limit: Limit, goal: number | null, reading: LaneReading): LaneDrawing {
	const wallAt = limit.kind === 'at-least' ? null : wallAtPct;
	const lowWallAt = limit.kind === 'at-most' ? null : lowWallAtPct;
	const ranges = rangesOf(reading);
	const spans = ranges.map((range) => ({
		from: lanePlacePct(range.low95, limit),
		to: lanePlacePct(range.high95, limit),
	}));
	const allowed: Span = { from: lowWallAt ?? 0, to: wallAt ?? laneEndPct };
	return {
		form: formOf(reading.state),
		trough: allowed,
		wallAt,
		lowWallAt,
		goalAt: goal === null ? null : clipped(lanePlacePct(goal, limit)),
		free: spans.flatMap((span) => overlap(span, allowed)),
		past: spans.flatMap((span) => [
			...(lowWallAt === null ? [] : overlap(span, { from: 0, to: lowWallAt })),
			...(wallAt === null ? [] : overlap(span, { from: wallAt, to: laneEndPct })),
		]),
		strokes: ranges.map((range) => ({ at: clipped(lanePlacePct(range.value, limit)), pen: range.pen })),
		isCut: spans.some((span) => span.to > laneEndPct || span.from < 0),
	};
}

function rangesOf(reading: LaneReading): readonly (RangedValue & { readonly pen: PenName | null })[] {
	switch (reading.state) {
		case 'missing':
		case 'cannot-judge':
			return [];
		case 'differing':
			return [reading.first, reading.second];
		default:
			return [{ ...reading, pen: null }];
	}
}

function formOf(state: LaneState): LaneDrawing['form'] {
	switch (state) {
		case 'missing':
			return 'dotted-trough';
		case 'cannot-judge':
			return 'none';
		case 'stale':
			return 'dotted-bar';
		case 'off-condition':
			return 'slanted-bar';
		default:
			return 'bar';
	}
}

function between(value: number, low: number, high: number, lowPct: number, highPct: number): number {
	return high === low ? lowPct : lowPct + ((value - low) / (high - low)) * (highPct - lowPct);
}

function clipped(pct: number): number {
	return Math.min(laneEndPct, Math.max(0, pct));
}

function overlap(span: Span, room: Span): readonly Span[] {
	const from = Math.max(span.from, room.from);
	const to = Math.min(span.to, room.to);
	return to > from ? [{ from, to }] : [];
}
