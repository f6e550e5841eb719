import { describe, expect, it } from 'vitest';
import { fill } from '../src/lib/words/fill.js';
import { chanceText, cutAtMark, digitsKeepingSide, numberText } from '../src/lib/words/number.js';
import { fontTable, glyphsOfTypeface } from './typeface.js';

/** Every string under a catalogue, with the way to it. Functions and types of the folder are no words. */
function stringsUnder(path: string, value: unknown): readonly { readonly name: string; readonly text: string }[] {
	if (typeof value === 'string') return [{ name: path, text: value }];
	if (typeof value !== 'object' || value === null) return [];
	return Object.entries(value).flatMap(([name, inner]) => stringsUnder(`${path}.${name}`, inner));
}

// The catalogue is the whole folder, so that a new file of words can't escape these rules.
const catalogue = import.meta.glob<Record<string, unknown>>('../src/lib/words/*.ts', { eager: true });
const strings = Object.values(catalogue).flatMap((words) =>
	Object.entries(words).flatMap(([name, value]) => stringsUnder(name, value)),
);

/** The statements above a signature: their wording belongs to the record, not to the screen. */
const signedTexts: readonly string[] = ['journey.sign.pilotText', 'journey.sign.engineerText'];

const never = [
	'pass/fail',
	'go/no-go',
	'ok',
	'released',
	'airworthy',
	'health',
	'alert',
	'solution',
	'take over',
	'seal',
	'defer',
	'arm',
];

describe('the catalogue', () => {
	it('is found', () => {
		expect(strings.length).toBeGreaterThan(150);
	});

	it('uses only glyphs of the packaged typeface in both weights', () => {
		const regular = glyphsOfTypeface(400);
		const bold = glyphsOfTypeface(700);
		expect(regular.has(0x2212)).toBe(true);
		expect(regular.has(0x2265)).toBe(false);
		const foreign = strings.flatMap(({ name, text }) =>
			[...text]
				.filter((sign) => !regular.has(sign.codePointAt(0)!) || !bold.has(sign.codePointAt(0)!))
				.map((sign) => `${name} ${sign}`),
		);
		expect(foreign).toEqual([]);
	});

	it('keeps every sentence to 15 words, save what people sign, which is fixed word for word', () => {
		const long = strings
			.filter(({ name }) => !signedTexts.includes(name))
			.flatMap(({ name, text }) =>
				text
					.split(/(?<=[.:?])\s/)
					.filter((sentence) => sentence.split(/\s+/).length > 15)
					.map((sentence) => `${name}: ${sentence}`),
			);
		expect(long).toEqual([]);
	});

	it('never uses a word that means something else to a crew', () => {
		const found = strings.filter(({ text }) => never.some((word) => new RegExp(`\\b${word}\\b`, 'i').test(text)));
		expect(found).toEqual([]);
	});

	it('has no empty string', () => {
		expect(strings.filter(({ text }) => text.trim() === '')).toEqual([]);
	});
});

describe('the packaged B612', () => {
	it('has figures all 1300 of 2000 units wide in both weights, so columns align and bold never shifts them', () => {
		for (const weight of [400, 700] as const) {
			const widths = figureWidths(weight);
			expect(new Set(widths)).toEqual(new Set([1300]));
		}
	});
});

describe('fill(template, words)', () => {
	it('puts each word into its blank', () => {
		expect(fill('host last {time}, {count} left', { time: '14:02Z', count: '3' })).toBe('host last 14:02Z, 3 left');
	});

	it('throws when a blank has no word', () => {
		expect(() => fill('host last {time}' as string, {} as Record<string, string>)).toThrow(/time/);
	});
});

describe('numberText(value, style)', () => {
	it.each([
		[0.14, { digits: 2 }, '0.14'],
		[-0.5, { digits: 1, signed: true }, '\u22120.5'],
		[2, { digits: 1, signed: true }, '+2.0'],
		[0, { digits: 1, signed: true }, '0.0'],
		[-0.001, { digits: 2 }, '0.00'],
		[92.7, { digits: 1, mark: ',' }, '92,7'],
	] as const)('writes %f with %o as %s', (value, style, text) => {
		expect(numberText(value, style)).toBe(text);
	});

	it('throws on a number that is not finite', () => {
		expect(() => numberText(Number.NaN, { digits: 1 })).toThrow(RangeError);
	});
});

describe('digitsKeepingSide(value, limits, digits)', () => {
	it('shows one more digit when rounding would put the value on the limit', () => {
		expect(digitsKeepingSide(0.203, [0.2], 2)).toBe(3);
		expect(digitsKeepingSide(0.197, [0.2], 2)).toBe(3);
	});

	it('shows as many as needed when one more is not enough', () => {
		expect(digitsKeepingSide(0.2004, [0.2], 2)).toBe(4);
	});

	it('keeps the usual digits when the side is plain or the value lies on the limit', () => {
		expect(digitsKeepingSide(0.24, [0.2], 2)).toBe(2);
		expect(digitsKeepingSide(0.2, [0.2], 2)).toBe(2);
	});
});

describe('cutAtMark(text)', () => {
	it('cuts at point or comma and leaves a whole number whole', () => {
		expect(cutAtMark('92,7')).toEqual({ whole: '92', fraction: ',7' });
		expect(cutAtMark('0.14')).toEqual({ whole: '0', fraction: '.14' });
		expect(cutAtMark('749')).toEqual({ whole: '749', fraction: '' });
	});
});

describe('chanceText(chance)', () => {
	it('never says 0 or 100 %', () => {
		expect(chanceText(0)).toBe('fewer than 1 in 100');
		expect(chanceText(1)).toBe('more than 99 in 100');
		expect(chanceText(0.995)).toBe('more than 99 in 100');
	});

	it('says tenths when they are true to half a hundredth, else hundredths', () => {
		expect(chanceText(0.3)).toBe('3 in 10');
		expect(chanceText(0.97)).toBe('97 in 100');
		expect(chanceText(0.99)).toBe('99 in 100');
	});
});

/** Advance widths of 0 to 9 by cmap format 4 and hmtx. */
function figureWidths(weight: 400 | 700): readonly number[] {
	const cmap = fontTable('cmap', weight);
	const metrics = fontTable('hmtx', weight);
	const longMetricCount = fontTable('hhea', weight).readUInt16BE(34);
	const at = cmap.readUInt32BE(8);
	const segments = cmap.readUInt16BE(at + 6) / 2;
	return Array.from({ length: 10 }, (_, figure) => {
		const code = 0x30 + figure;
		for (let segment = 0; segment < segments; segment += 1) {
			const end = cmap.readUInt16BE(at + 14 + 2 * segment);
			const start = cmap.readUInt16BE(at + 16 + 2 * segments + 2 * segment);
			if (code < start || code > end) continue;
			const rangeAt = at + 16 + 6 * segments + 2 * segment;
			const range = cmap.readUInt16BE(rangeAt);
			const delta = cmap.readUInt16BE(at + 16 + 4 * segments + 2 * segment);
			const glyph = range === 0 ? (code + delta) & 0xffff : cmap.readUInt16BE(rangeAt + range + 2 * (code - start));
			return metrics.readUInt16BE(4 * Math.min(glyph, longMetricCount - 1));
		}
		return 0;
	});
}
