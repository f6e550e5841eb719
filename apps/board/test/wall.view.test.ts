import { describe, expect, it } from 'vitest';
import { limitWords, type WallRow, wallDrawing } from '../src/lib/parts/wall/wall.view.js';
import { writing } from '../src/lib/words/writing.svelte.js';

const row = (id: string, change: Partial<WallRow>): WallRow => ({
	id,
	label: 'hover lateral',
	unit: 'ips',
	digits: 2,
	limit: { kind: 'at-most', limit: 0.2 },
	goal: 0.1,
	reading: { state: 'missing' },
	...change,
});
const inside = { state: 'inside', value: 0.08, low95: 0.04, high95: 0.12 } as const;

describe('wallDrawing(rows)', () => {
	it('writes every state with its word', () => {
		const states = ['inside', 'near-inside', 'near-outside', 'outside', 'stale', 'off-condition'] as const;
		const lines = wallDrawing(states.map((state) => row(state, { reading: { ...inside, state } }))).lines;
		expect(lines.map((line) => line.word)).toEqual([
			'inside',
			'inside, close',
			'outside, close',
			'outside',
			'measure again',
			'flown off condition',
		]);
	});

	it('joins neighbouring upper walls into one and breaks where there is none', () => {
		const drawing = wallDrawing([
			row('a', {}),
			row('b', { reading: inside }),
			row('c', { reading: { state: 'cannot-judge', reason: 'no torque' } }),
			row('d', { limit: { kind: 'at-least', limit: 94, laneTo: 110 } }),
			row('e', {}),
		]);
		expect(drawing.runs).toEqual([
			{ firstRow: 1, rowCount: 2 },
			{ firstRow: 5, rowCount: 1 },
		]);
	});

	it('shows one more digit when rounding would hide the side', () => {
		const [line] = wallDrawing([
			row('a', { reading: { state: 'near-outside', value: 0.203, low95: 0.17, high95: 0.24 } }),
		]).lines;
		expect(line!.numbers[0]!.cut).toEqual({ whole: '0', fraction: '.203' });
	});

	it('shows two readings as two numbers, each with its pen', () => {
		const [line] = wallDrawing([
			row('a', {
				reading: {
					state: 'differing',
					first: { pen: 'pilot', value: 0.1, low95: 0.1, high95: 0.1 },
					second: { pen: 'engineer', value: 0.13, low95: 0.13, high95: 0.13 },
				},
			}),
		]).lines;
		expect(line!.numbers.map((number) => [number.cut.fraction, number.pen])).toEqual([
			['.10', 'pilot'],
			['.13', 'engineer'],
		]);
		expect(line!.word).toBe('two readings');
	});

	it('makes room for the widest whole part and fraction of the column', () => {
		const drawing = wallDrawing([
			row('a', { reading: inside }),
			row('b', { unit: '%', digits: 1, limit: { kind: 'at-most', limit: 100 }, reading: { ...inside, value: 92.7 } }),
		]);
		expect([drawing.wholeSigns, drawing.fractionSigns]).toEqual([2, 3]);
	});

	it("writes the limits themselves, and a lane without a reading isn't missing anything, when limits are shown", () => {
		const drawing = wallDrawing(
			[row('a', {}), row('b', { limit: { kind: 'band', low: 98, high: 103 }, unit: '%', digits: 0 })],
			'limit',
		);
		expect(drawing.lines[0]!.numbers[0]!.cut).toEqual({ whole: '0', fraction: '.20' });
		expect(drawing.lines[0]!.lane.form).toBe('bar');
		expect(drawing.lines[1]!.numbers[0]!.cut.whole).toBe('98 to 103');
	});

	it('gives the reason in the place of a lane that cannot be judged', () => {
		const [line] = wallDrawing([row('a', { reading: { state: 'cannot-judge', reason: 'no torque' } })]).lines;
		expect(line!.word).toBe('cannot tell: no torque');
		expect(line!.numbers).toEqual([]);
	});

	it('is empty for no rows', () => {
		expect(wallDrawing([])).toEqual({ lines: [], runs: [], wholeSigns: 1, fractionSigns: 0 });
	});
});

describe('limitWords(row)', () => {
	it('says each kind of limit with its unit, with the mark the person uses', () => {
		expect(limitWords(row('a', {}))).toBe('at most 0.20 ips');
		writing.mark = ',';
		expect(limitWords(row('a', {}))).toBe('at most 0,20 ips');
		writing.mark = '.';
		expect(limitWords(row('a', { limit: { kind: 'at-least', limit: 94, laneTo: 110 }, unit: '%', digits: 0 }))).toBe(
			'at least 94 %',
		);
		expect(
			limitWords(row('a', { limit: { kind: 'band', low: -5, high: 5 }, unit: '%', digits: 0, isSigned: true })),
		).toBe('\u22125 to +5 %');
	});
});
