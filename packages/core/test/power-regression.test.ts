import { describe, expect, it } from 'vitest';
import { slopeOf } from '../src/power/index.js';
import { vectorRow } from './published-vectors.js';

/** The slope of a held parameter is this line's: checked on lines that others have fitted. */
describe('slopeOf(xs, ys)', () => {
	type Expected = { readonly b1: number };
	const row = <I>(id: string) => vectorRow<I, Expected>('power/regression.json', id);

	const norris = row<{ x: number[]; y: number[] }>('nist-strd-norris');
	it(`[PWR-7] ${norris.says('certified slope to 1e-10')}`, () => {
		expect(Math.abs(slopeOf(norris.inputs.x, norris.inputs.y) / norris.expected.b1 - 1)).toBeLessThan(1e-10);
	});

	const pressure = row<{ temperature: number[]; pressure: number[] }>('nist-pressure-fit');
	it(`[PWR-7] ${pressure.says('slope to 1e-6')}`, () => {
		const { temperature, pressure: readings } = pressure.inputs;
		expect(Math.abs(slopeOf(temperature, readings) / pressure.expected.b1 - 1)).toBeLessThan(1e-6);
	});

	const width = row<{ x: number[]; y: number[] }>('nist-linewidth-calibration');
	it(`[PWR-7] ${width.says('slope to 1e-8')}`, () => {
		expect(Math.abs(slopeOf(width.inputs.x, width.inputs.y) / width.expected.b1 - 1)).toBeLessThan(1e-8);
	});

	const loadCell = vectorRow<{ load: number[]; response: number[] }, { c1: number; c2: number }>(
		'power/regression.json',
		'nist-loadcell-quadratic',
	);
	it(`[PWR-7] ${loadCell.says('chords of the recalled parabola to 1e-4 of their slope')}`, () => {
		// The line through points that lie evenly about a place has the parabola's slope there, c1 + 2·c2·x.
		const { load, response } = loadCell.inputs;
		const upTo20 = load.flatMap((x, at) => (x <= 20 ? [at] : []));
		const slope = slopeOf(
			upTo20.map((at) => load[at] ?? 0),
			upTo20.map((at) => response[at] ?? 0),
		);
		expect(Math.abs(slope / (loadCell.expected.c1 + 2 * loadCell.expected.c2 * 11) - 1)).toBeLessThan(1e-4);
	});

	it('[PWR-7] keeps its digits on clock times of any size', () => {
		const times = [0, 1, 2, 3, 4].map((t) => 1.7e9 + t);
		expect(slopeOf(times, [5, 5.1, 5.2, 5.3, 5.4])).toBeCloseTo(0.1, 9);
	});
});
