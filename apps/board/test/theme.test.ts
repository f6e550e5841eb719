import { describe, expect, it } from 'vitest';
import { themeStyleSheet } from '../src/lib/look/theme-css.js';
import { type ThemeName, type ThemeTokens, themeNames, themeTokens } from '../src/lib/look/theme-tokens.js';
import {
	contrastRatio,
	type Deficiency,
	deficiencyMatrices,
	deltaE2000,
	seenLab,
	type Triple,
} from './colour-difference.js';

type Token = keyof ThemeTokens;
type Ratio = readonly [mark: Token, on: Token, ratios: Readonly<Record<ThemeName, number>>];

// The contrast table of the design language, one decimal; half a last digit either way is its rounding.
const table: readonly Ratio[] = [
	['ink', 'ground', { day: 14.9, sun: 21, night: 12.4 }],
	['ink', 'sheet', { day: 16.7, sun: 21, night: 11.3 }],
	['soft', 'ground', { day: 7.5, sun: 21, night: 8.2 }],
	['soft', 'sheet', { day: 8.4, sun: 21, night: 7.5 }],
	['rule', 'ground', { day: 4.0, sun: 21, night: 4.3 }],
	['rule', 'sheet', { day: 4.4, sun: 21, night: 3.9 }],
	['keyInk', 'key', { day: 14.9, sun: 21, night: 7.8 }],
	['careInk', 'care', { day: 8.7, sun: 13.0, night: 9.0 }],
	['careLine', 'ground', { day: 7.2, sun: 10.4, night: 9.7 }],
	['careLine', 'sheet', { day: 8.0, sun: 10.4, night: 8.9 }],
	['stopInk', 'stop', { day: 8.0, sun: 9.9, night: 7.1 }],
	['stopLine', 'ground', { day: 7.1, sun: 9.9, night: 8.0 }],
	['stopLine', 'sheet', { day: 8.0, sun: 9.9, night: 7.3 }],
	['penPilot', 'ground', { day: 4.5, sun: 7.9, night: 12.7 }],
	['penPilot', 'sheet', { day: 5.1, sun: 7.9, night: 11.5 }],
	['penEngineer', 'ground', { day: 12.9, sun: 16.1, night: 5.7 }],
	['penEngineer', 'sheet', { day: 14.5, sun: 16.1, night: 5.2 }],
	['penSupport', 'ground', { day: 7.4, sun: 10.0, night: 5.5 }],
	['penSupport', 'sheet', { day: 8.2, sun: 10.0, night: 5.0 }],
];

const textTokens: readonly Token[] = ['ink', 'soft', 'keyInk', 'careInk', 'stopInk'];
const rows = themeNames.flatMap((theme) =>
	table.map(([mark, on, ratios]) => ({ theme, mark, on, stated: ratios[theme] })),
);
const deficiencies = Object.keys(deficiencyMatrices) as readonly Deficiency[];

describe('themeTokens', () => {
	it.each(rows)('$theme: $mark on $on has the stated contrast $stated', ({ theme, mark, on, stated }) => {
		const ratio = contrastRatio(themeTokens[theme][mark], themeTokens[theme][on]);
		expect(Math.abs(ratio - stated)).toBeLessThanOrEqual(0.0501);
	});

	it.each(rows)('$theme: $mark on $on is at least 7 for text and 3 for marks', ({ theme, mark, on }) => {
		const ratio = contrastRatio(themeTokens[theme][mark], themeTokens[theme][on]);
		expect(ratio).toBeGreaterThanOrEqual(textTokens.includes(mark) ? 7 : 3);
	});

	it.each(themeNames)('%s: the three pens stay at least 10 apart (CIEDE2000) for every kind of eye', (theme) => {
		const pens = [themeTokens[theme].penPilot, themeTokens[theme].penEngineer, themeTokens[theme].penSupport];
		const distances = deficiencies.flatMap((deficiency) =>
			pens.flatMap((one, index) =>
				pens.slice(index + 1).map((other) => deltaE2000(seenLab(one, deficiency), seenLab(other, deficiency))),
			),
		);
		expect(distances).toHaveLength(12);
		expect(Math.min(...distances)).toBeGreaterThanOrEqual(10);
	});

	it.each(themeNames)('%s: care and stop stay at least 30 apart (CIEDE2000) for every kind of eye', (theme) => {
		const { care, stop } = themeTokens[theme];
		const distances = deficiencies.map((deficiency) =>
			deltaE2000(seenLab(care, deficiency), seenLab(stop, deficiency)),
		);
		expect(Math.min(...distances)).toBeGreaterThanOrEqual(30);
	});
});

describe('deltaE2000(one, other)', () => {
	// Sharma, Wu, Dalal 2005, table 1, printed to four decimals (pairs typed from memory of the published table).
	it.each<readonly [Triple, Triple, number]>([
		[[50, 2.6772, -79.7751], [50, 0, -82.7485], 2.0425],
		[[50, 0, 0], [50, -1, 2], 2.3669],
		[[50, 2.5, 0], [73, 25, -18], 27.1492],
		[[50, 2.5, 0], [61, -5, 29], 22.8977],
		[[50, 2.5, 0], [56, -27, -3], 31.903],
		[[50, 2.5, 0], [58, 24, 15], 19.4535],
		[[90.8027, -2.0831, 1.441], [91.1528, -1.6435, 0.0447], 1.4441],
		[[2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514], 0.9082],
	])('%o to %o is %f', (one, other, expected) => {
		expect(deltaE2000(one, other)).toBeCloseTo(expected, 4);
		expect(deltaE2000(other, one)).toBeCloseTo(expected, 4);
	});
});

describe('deficiencyMatrices', () => {
	it.each(deficiencies)('%s leaves white white: each row sums to 1 within its six decimals', (deficiency) => {
		for (const row of deficiencyMatrices[deficiency]) {
			expect(Math.abs(row[0] + row[1] + row[2] - 1)).toBeLessThan(2e-6);
		}
	});
});

describe('themeStyleSheet()', () => {
	const css = themeStyleSheet();

	it('writes every token of every theme as a custom property', () => {
		for (const theme of themeNames) {
			expect(css).toContain(`[data-theme='${theme}']`);
			for (const colour of Object.values(themeTokens[theme])) expect(css).toContain(colour);
		}
		expect(css).toContain('--pen-pilot: #1F71BC;');
	});

	it('prints with the day inks on white, whatever the theme', () => {
		const paper = css.slice(css.indexOf('@media print'));
		expect(paper).toContain('--ink: #16201F;');
		expect(paper).toContain('--ground: #FFFFFF;');
	});
});
