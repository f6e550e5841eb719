import type { CardFieldOf } from '@stillmast/formats/card';
import { powerTrends } from '@stillmast/record/judge';
import { beforeAll, describe, expect, it } from 'vitest';
import { notCounted, type PlayedScenario, playShipped, sound } from './played.js';

interface Expected {
	readonly truth: { readonly slopePerHour: number; readonly zeroAtEngineH: number };
	readonly proved: boolean;
	readonly fewerThanSix: string;
	readonly marginsC: readonly number[];
}

describe('scenario power-trend (invented)', () => {
	let shown: PlayedScenario<Expected>;
	beforeAll(async () => {
		shown = await playShipped('power-trend');
	});

	const temperatureTrend = ({ state, typeData, card }: PlayedScenario<Expected>) => {
		const fields = card.steps.flatMap((step) => step.fields);
		const field = fields.find((one): one is CardFieldOf<'hold'> => one.kind === 'hold');
		if (field === undefined) throw new Error('the card has a hold');
		const found = powerTrends(state, typeData, field).find(({ result }) => result === 'totC');
		if (found === undefined) throw new Error('no margin of turbine temperature');
		return found;
	};

	it('[JDG-16] gets from twelve flights in twelve airs the margins that were put in, one each', () => {
		expect(notCounted(shown.state)).toEqual([]);
		const { points } = temperatureTrend(shown);
		expect(points.map(({ flight }) => flight)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]);
		// temperatures were written to 0.1 °C
		points.forEach(({ margin }, at) => {
			expect(Math.abs(margin - (shown.expected.marginsC[at] ?? Number.NaN))).toBeLessThanOrEqual(0.05 + 1e-9);
		});
	});

	it('[PWR-11] finds the fall that was put in, and gives the hours to zero as a range that begins before the truth', () => {
		const { expected } = shown;
		const { points, trend } = temperatureTrend(shown);
		const { proved, slope, hoursToZero } = sound(trend);
		expect(proved).toBe(expected.proved);
		expect(slope.low95 < expected.truth.slopePerHour && slope.high95 > expected.truth.slopePerHour).toBe(true);
		const leftH = expected.truth.zeroAtEngineH - (points.at(-1)?.engineH ?? 0);
		expect(hoursToZero?.earliest).toBeLessThan(leftH);
		// scatter of 1 °C over 113 h leaves the slope uncertain by about a tenth, and with it the hours
		expect(Math.abs((hoursToZero?.likely ?? 0) / leftH - 1)).toBeLessThan(0.25);
	});

	it('[JDG-16] leaves out a flight whose hold does not count or whose hours differ, and gives no hours to zero from five', async () => {
		const write = (by: string, kind: 'reading', fields: Record<string, unknown>) =>
			({ do: 'write', by, kind, fields }) as const;
		const heater = { flight: 3, run: null, step: 'power', subject: 'power/heaterOff', value: false, unit: '' };
		const hours = { flight: 7, run: null, step: 'start', subject: 'engineHours', value: 4301, unit: 'h' };
		const less = await playShipped<Expected>('power-trend', [
			write('cockpit', 'reading', heater),
			write('workshop', 'reading', hours),
		]);
		expect(temperatureTrend(less).points.map(({ flight }) => flight)).toEqual([1, 2, 4, 5, 6, 8, 9, 10, 11, 12]);
		const first = shown.scenario.events.findIndex((event) => event.do === 'write' && event.fields.flight === 6);
		const few = await playShipped<Expected>('power-trend', [], first);
		expect(sound(temperatureTrend(few).trend).notShown).toBe(shown.expected.fewerThanSix);
	});
});
