import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { Gauge, HiddenRotor, seededDraw, type TailSpread, usualTail, type VibrationTable } from '../src/index.js';

const file = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios', 'after-gearbox-smoothing', 'rotor.json');
const table = JSON.parse(readFileSync(file, 'utf8')) as VibrationTable;
const still: TailSpread = { ...usualTail, readingIps: 0, remainderIps: 0, tabKept: 1 };

describe('HiddenRotor', () => {
	it('[RHS-12] the same seed is the same tail, another seed another', () => {
		const read = (seed: number) => new HiddenRotor(table, usualTail, seededDraw(seed)).read({});
		expect(read(7)).toEqual(read(7));
		expect(read(7)).not.toEqual(read(8));
	});

	it('[RHS-13] answers a change in proportion, and the same change at the next blade turned by its pass angle', () => {
		const rotor = new HiddenRotor(table, still, seededDraw(3));
		const vector = (settings: Record<string, number>) => {
			const reading = rotor.read(settings).find(({ channel }) => channel === 'hover/lat');
			if (reading === undefined) throw new Error('no such channel');
			const angle = (reading.phaseDeg * Math.PI) / 180;
			return { re: reading.amplitudeIps * Math.cos(angle), im: reading.amplitudeIps * Math.sin(angle) };
		};
		const base = vector({});
		const change = (settings: Record<string, number>) => {
			const now = vector(settings);
			return { re: now.re - base.re, im: now.im - base.im };
		};
		const one = change({ 'plate-A': 1 });
		const three = change({ 'plate-A': 3 });
		expect(three.re).toBeCloseTo(3 * one.re, 10);
		expect(three.im).toBeCloseTo(3 * one.im, 10);
		const next = change({ 'plate-B': 1 });
		const turn = ((Math.atan2(next.im, next.re) - Math.atan2(one.im, one.re)) * 180) / Math.PI;
		expect((turn + 360) % 360).toBeCloseTo(120, 6);
	});

	it('[RHS-14] a plate on every blade does nothing once per revolution (law: three equal vectors 120 degrees apart)', () => {
		const rotor = new HiddenRotor(table, still, seededDraw(3));
		const before = rotor.read({});
		const after = rotor.read({ 'plate-A': 2, 'plate-B': 2, 'plate-C': 2 });
		for (const [n, reading] of after.entries())
			expect(reading.amplitudeIps).toBeCloseTo(before[n]?.amplitudeIps ?? Number.NaN, 10);
	});
});

describe('Gauge', () => {
	const figures = { lagS: 0.5, noiseSd: 0, resolution: 0.1, rateHz: 10, dropShare: 0 };

	it('[RHS-15] samples at its rate, lags as a first-order lag and rounds to its resolution', () => {
		const gauge = new Gauge(figures, seededDraw(1));
		gauge.feel(0, 0, 0.005);
		const samples = Array.from({ length: 200 }, (_, n) => gauge.feel((n + 1) * 0.005, 100, 0.005)).filter(
			(sample) => sample !== null,
		);
		expect(samples).toHaveLength(10);
		// after one second two time constants have passed: 1 − e⁻²
		expect(samples.at(-1)?.value).toBeCloseTo(100 * (1 - Math.exp(-2)), 0);
		for (const { value } of samples) expect(Math.abs(value * 10 - Math.round(value * 10))).toBeLessThan(1e-9);
	});

	it('[RHS-16] a frozen gauge goes on saying what it said, and a silent one says nothing', () => {
		const frozen = new Gauge({ ...figures, lagS: 0 }, seededDraw(1));
		frozen.feel(0, 50, 0.005);
		frozen.freeze();
		expect(frozen.feel(0.1, 90, 0.005)?.value).toBeCloseTo(50, 9);
		frozen.thaw();
		expect(frozen.feel(0.2, 90, 0.005)?.value).toBeCloseTo(90, 9);
		const silent = new Gauge({ ...figures, dropShare: 1 }, seededDraw(1));
		for (let n = 0; n < 50; n += 1) expect(silent.feel(n * 0.1, 1, 0.1)).toBeNull();
	});
});
