import { describe, expect, it } from 'vitest';
import { type RibbonStep, ribbonDrawing } from '../src/lib/parts/ribbon/ribbon.view.js';
import { statusWords } from '../src/lib/parts/status/status.view.js';
import { threadDrawing } from '../src/lib/parts/steady/steady-thread.view.js';
import { steadyDrawing } from '../src/lib/parts/steady/steady-timer.view.js';
import { rangeText, timeBarsDrawing } from '../src/lib/parts/time-bars/time-bars.view.js';

// Percent or drawing units; a millionth is far below a pixel.
const digits = 6;

describe('ribbonDrawing(steps)', () => {
	const steps = (count: number): readonly RibbonStep[] =>
		Array.from({ length: count }, (_, index) => ({
			id: `s${index}`,
			title: `step ${index}`,
			rise: index / count,
			state: index === 1 ? 'now' : 'ahead',
		}));

	it('fits any number of posts without scrolling', () => {
		for (const count of [1, 16, 60]) {
			const posts = ribbonDrawing(steps(count)).posts;
			expect(posts).toHaveLength(count);
			expect(posts.every((post) => post.acrossPct > 0 && post.acrossPct < 100)).toBe(true);
		}
	});

	it('names the step that is now and says each post in words', () => {
		const drawing = ribbonDrawing(steps(3));
		expect(drawing.nowWords).toBe('step 1, now');
		expect(drawing.posts[0]!.words).toBe('step 0, to come');
	});

	it('stands higher posts higher and starts and ends on the ground', () => {
		const drawing = ribbonDrawing(steps(3));
		expect(drawing.posts[2]!.footPct).toBeLessThan(drawing.posts[0]!.footPct);
		expect(drawing.silhouette.startsWith('M0 94')).toBe(true);
		expect(drawing.silhouette.endsWith('100 94')).toBe(true);
	});

	it('draws only the ground for a card without steps', () => {
		expect(ribbonDrawing([]).posts).toEqual([]);
	});
});

describe('steadyDrawing(period)', () => {
	it('counts whole seconds down and never says 0 before it is done', () => {
		expect(steadyDrawing({ neededS: 20, heldS: 19.2, state: 'inside' }).leftText).toBe('1 s');
		expect(steadyDrawing({ neededS: 20, heldS: 20, state: 'done' }).leftText).toBe('0 s');
	});

	it('has one stroke a second, filled one after the other', () => {
		const shares = steadyDrawing({ neededS: 4, heldS: 2.5, state: 'inside' }).strokes.map((stroke) => stroke.share);
		expect(shares).toEqual([1, 1, 0.5, 0]);
	});

	it('groups seconds when there are more than can be counted', () => {
		const drawing = steadyDrawing({ neededS: 120, heldS: 0, state: 'waiting' });
		expect(drawing.secondsPerStroke).toBe(4);
		expect(drawing.strokes).toHaveLength(30);
	});

	it('says whose word it is when steadiness is declared', () => {
		expect(steadyDrawing({ neededS: 20, heldS: 3, state: 'declared', pen: 'E' }).word).toBe('declared steady by E');
	});
});

describe('threadDrawing(samples, band, windowS)', () => {
	const band = { low: 60, high: 65 };
	const samples = [
		{ atS: -3, value: 62 },
		{ atS: -2, value: 63 },
		{ atS: -1, value: 58 },
		{ atS: 0, value: 62 },
	];

	it('parts the thread where it leaves the walls', () => {
		const drawing = threadDrawing(samples, band, 20);
		expect(drawing.inside).toHaveLength(1);
		expect(drawing.outside).toHaveLength(1);
	});

	it('puts the walls at the band and the newest sample between them', () => {
		const drawing = threadDrawing([{ atS: 0, value: 62.5 }], band, 20);
		expect(drawing.endPct).toBeCloseTo((drawing.upperWallPct + drawing.lowerWallPct) / 2, digits);
		expect(threadDrawing([], band, 20).endPct).toBeNull();
	});
});

describe('timeBarsDrawing(rows, axis)', () => {
	const said = { source: 'witness', label: 'P', pen: 'pilot', words: '' } as const;
	const drawing = timeBarsDrawing(
		[
			{ ...said, id: 'p', atLeast: { from: 0, to: 4 }, atMost: { from: 0, to: 6 } },
			{ ...said, id: 'e', atLeast: { from: 0, to: 1 }, atMost: null },
			{ ...said, id: 'n', atLeast: null, atMost: null },
		],
		{ unit: 's', wallAt: 3, forbidden: 'right', zero: 0 },
	);
	const [bounded, open, unsaid] = drawing.lines;

	it('cuts what is sure at the wall, and lays it inside what may be', () => {
		const [inside, beyond] = [bounded?.core[0], bounded?.past[0]];
		expect((inside?.fromPct ?? 0) + (inside?.widthPct ?? 0)).toBeCloseTo(drawing.wallPct ?? -1, digits);
		expect(beyond?.fromPct).toBeCloseTo(drawing.wallPct ?? -1, digits);
		expect(bounded?.outer?.widthPct).toBeGreaterThan((inside?.widthPct ?? 0) + (beyond?.widthPct ?? 0));
	});

	it('lets what nothing bounds run to the edge', () => {
		expect(open?.isOpen).toBe(true);
		expect((open?.outer?.fromPct ?? 0) + (open?.outer?.widthPct ?? 0)).toBeCloseTo(100, digits);
	});

	it('draws nothing where nothing was said, and is empty for no witness', () => {
		expect(unsaid).toMatchObject({ core: [], past: [], outer: null, isOpen: false });
		expect(timeBarsDrawing([])).toEqual({ lines: [], ticks: [], wallPct: null });
	});

	it('turns towards a wall at the left', () => {
		const left = timeBarsDrawing([{ ...said, id: 'p', atLeast: { from: 95, to: 100 }, atMost: null }], {
			unit: '%',
			wallAt: 97,
			forbidden: 'left',
			zero: null,
		});
		expect(left.lines[0]?.past[0]?.widthPct).toBeCloseTo(left.wallPct! - left.lines[0]!.past[0]!.fromPct, digits);
		expect(left.lines[0]?.outer?.fromPct).toBe(0);
	});
});

describe('rangeText(least, most, unit)', () => {
	it.each([
		[2, 4.5, '2.0 to 4.5 s'],
		[2, null, 'at least 2.0 s'],
		[null, 4.5, 'at most 4.5 s'],
		[null, null, null],
	])('words %s and %s', (least, most, words) => {
		expect(rangeText(least, most, 's')).toBe(words);
	});
});

describe('statusWords(connection)', () => {
	it.each([
		[{ state: 'alone' }, 'kept on this device only'],
		[{ state: 'together', waitingCount: 0 }, 'with the host'],
		[{ state: 'together', waitingCount: 1 }, 'with the host, 1 entry to send'],
		[
			{ state: 'away', hostLast: '14:02Z', waitingCount: 12 },
			'kept on this device, host last 14:02Z, 12 entries to send',
		],
		[{ state: 'away', hostLast: null, waitingCount: 0 }, 'kept on this device only'],
		[{ state: 'alone', because: 'Nobody here knows it.' }, 'kept on this device only, Nobody here knows it.'],
		[{ state: 'refused', reason: 'pen withdrawn' }, 'kept on this device, refused by the host: pen withdrawn'],
		[{ state: 'opening' }, 'opening the board'],
	] as const)('says %o as "%s"', (connection, words) => {
		expect(statusWords(connection).join(', ')).toBe(words);
	});
});
