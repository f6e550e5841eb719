import { describe, expect, it } from 'vitest';
import {
	type LaneReading,
	type Limit,
	laneDrawing,
	laneEndPct,
	lanePlacePct,
	lowWallAtPct,
	wallAtPct,
} from '../src/lib/parts/wall/lane.view.js';

const atMost: Limit = { kind: 'at-most', limit: 0.2 };
const band: Limit = { kind: 'band', low: 1.5, high: 3 };
const atLeast: Limit = { kind: 'at-least', limit: 94, laneTo: 110 };
// Places are percent of a lane 300 to 600 px wide; a millionth is far below a pixel.
const digits = 6;

describe('lanePlacePct(value, limit)', () => {
	it.each([0.05, 0.2, 1, 92.7, 749])('puts a limit of %f at the one wall, whatever its size', (limit) => {
		expect(lanePlacePct(limit, { kind: 'at-most', limit })).toBeCloseTo(wallAtPct, digits);
	});

	it('starts at zero for an upper limit', () => {
		expect(lanePlacePct(0, atMost)).toBe(0);
	});

	it('puts both ends of a band at their walls, and of a lower limit at the lower wall', () => {
		expect(lanePlacePct(1.5, band)).toBeCloseTo(lowWallAtPct, digits);
		expect(lanePlacePct(3, band)).toBeCloseTo(wallAtPct, digits);
		expect(lanePlacePct(94, atLeast)).toBeCloseTo(lowWallAtPct, digits);
		expect(lanePlacePct(110, atLeast)).toBeCloseTo(laneEndPct, digits);
	});

	it('gives a finite place even for a limit of zero', () => {
		expect(Number.isFinite(lanePlacePct(0.1, { kind: 'at-most', limit: 0 }))).toBe(true);
	});
});

describe('laneDrawing(limit, goal, reading)', () => {
	it('keeps a bar inside the wall in one free piece', () => {
		const drawing = laneDrawing(atMost, 0.1, { state: 'inside', value: 0.08, low95: 0.04, high95: 0.12 });
		expect(drawing.form).toBe('bar');
		expect(drawing.past).toEqual([]);
		expect(drawing.free).toHaveLength(1);
		expect(drawing.free[0]!.from).toBeCloseTo(0.2 * wallAtPct, digits);
		expect(drawing.free[0]!.to).toBeCloseTo(0.6 * wallAtPct, digits);
		expect(drawing.goalAt).toBeCloseTo(wallAtPct / 2, digits);
	});

	it('cuts a bar at the wall when it goes through it, and the pieces meet at the wall', () => {
		const drawing = laneDrawing(atMost, null, { state: 'near-inside', value: 0.19, low95: 0.15, high95: 0.23 });
		expect(drawing.free[0]!.to).toBe(wallAtPct);
		expect(drawing.past[0]!.from).toBe(wallAtPct);
		expect(drawing.strokes[0]!.at).toBeLessThan(wallAtPct);
		expect(drawing.goalAt).toBeNull();
	});

	it('draws a bar beyond the wall only as past', () => {
		const drawing = laneDrawing(atMost, null, { state: 'outside', value: 0.26, low95: 0.22, high95: 0.29 });
		expect(drawing.free).toEqual([]);
		expect(drawing.past).toHaveLength(1);
		expect(drawing.isCut).toBe(false);
	});

	it('says so when the bar goes on beyond the drawing, and keeps the stroke in it', () => {
		const drawing = laneDrawing(atMost, null, { state: 'outside', value: 0.9, low95: 0.8, high95: 1 });
		expect(drawing.isCut).toBe(true);
		expect(drawing.strokes[0]!.at).toBe(laneEndPct);
	});

	it('has past pieces at both walls of a band when the bar is wider than the band', () => {
		const drawing = laneDrawing(band, null, { state: 'near-inside', value: 2.2, low95: 1.2, high95: 3.2 });
		expect(drawing.past).toHaveLength(2);
		expect(drawing.past[0]!.to).toBe(lowWallAtPct);
		expect(drawing.past[1]!.from).toBe(wallAtPct);
		expect(drawing.lowWallAt).toBe(lowWallAtPct);
	});

	it('has no upper wall for a lower limit', () => {
		const drawing = laneDrawing(atLeast, null, { state: 'inside', value: 100, low95: 99, high95: 101 });
		expect(drawing.wallAt).toBeNull();
		expect(drawing.lowWallAt).toBe(lowWallAtPct);
		expect(drawing.past).toEqual([]);
	});

	it('draws two readings as two strokes, each with its pen', () => {
		const drawing = laneDrawing(atMost, null, {
			state: 'differing',
			first: { pen: 'pilot', value: 0.1, low95: 0.08, high95: 0.12 },
			second: { pen: 'engineer', value: 0.13, low95: 0.11, high95: 0.15 },
		});
		expect(drawing.strokes.map((stroke) => stroke.pen)).toEqual(['pilot', 'engineer']);
	});

	it.each<readonly [LaneReading, string]>([
		[{ state: 'missing' }, 'dotted-trough'],
		[{ state: 'stale', value: 0.1, low95: 0.08, high95: 0.12 }, 'dotted-bar'],
		[{ state: 'off-condition', value: 0.1, low95: 0.08, high95: 0.12 }, 'slanted-bar'],
		[{ state: 'cannot-judge', reason: 'no torque' }, 'none'],
	])('has a form of its own besides colour for %o', (reading, form) => {
		expect(laneDrawing(atMost, 0.1, reading).form).toBe(form);
	});
});
