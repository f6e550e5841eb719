import { describe, expect, it } from 'vitest';
import { type RibbonStep, ribbonDrawing } from '../src/lib/parts/ribbon/ribbon.view.js';
import { statusWords } from '../src/lib/parts/status/status.view.js';
import { threadDrawing } from '../src/lib/parts/steady/steady-thread.view.js';
import { steadyDrawing } from '../src/lib/parts/steady/steady-timer.view.js';
import { timeBarsDrawing } from '../src/lib/parts/time-bars/time-bars.view.js';

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

describe('timeBarsDrawing(rows)', () => {
	const drawing = timeBarsDrawing([
		{
			id: 'p',
			label: 'pilot',
			source: 'witness',
			pen: 'pilot',
			atLeast: { fromS: 2, toS: 4 },
			atMost: { fromS: 1, toS: 6 },
		},
		{ id: 'e', label: 'engineer', source: 'witness', pen: 'engineer', atLeast: null, atMost: { fromS: 2, toS: 7 } },
	]);

	it('lays the core inside the outer bar', () => {
		const [line] = drawing.lines;
		expect(line!.core!.fromPct).toBeGreaterThan(line!.outer.fromPct);
		expect(line!.core!.fromPct + line!.core!.widthPct).toBeLessThan(line!.outer.fromPct + line!.outer.widthPct);
	});

	it('says least and most in seconds, least 0 when nothing is sure', () => {
		expect(drawing.lines.map((line) => line.words)).toEqual(['2.0 to 5.0 s', '0.0 to 5.0 s']);
		expect(drawing.lines[1]!.core).toBeNull();
	});

	it('is empty for no witness', () => {
		expect(timeBarsDrawing([])).toEqual({ lines: [], ticks: [] });
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
		[{ state: 'refused', reason: 'pen withdrawn' }, 'kept on this device, refused by the host: pen withdrawn'],
		[{ state: 'opening' }, 'opening the board'],
	] as const)('says %o as "%s"', (connection, words) => {
		expect(statusWords(connection).join(', ')).toBe(words);
	});
});
