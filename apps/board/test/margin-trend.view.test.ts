import { readFileSync } from 'node:fs';
import type { Card } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import { fold, openKey, openRecord, softwareKey } from '@stillmast/record';
import { describe, expect, it } from 'vitest';
import type { CheckHere } from '../src/lib/aircraft/aircraft.view.js';
import { marginTrends } from '../src/lib/aircraft/margin-trend.view.js';

// The invented Ouzel 3: at 80 % torque, 2 000 ft and 10 °C its chart gives 682.2 °C (read off the file by hand).
const folder = new URL('../../../demo-scenarios/', import.meta.url);
const document = (name: string) => JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as unknown;
const card = document('whole-card/card.json') as Card;
const typeData = document('after-gearbox-smoothing/type.json') as TypeData;
const chartTotC = 682.2;

let seeds = 0;
function random(length: number): Uint8Array {
	seeds += 13;
	return Uint8Array.from({ length }, (_, n) => (n * 7 + seeds * (n + 1)) % 256);
}

/** A check with one power hold at these engine hours; without `heldS` nobody told how long it was held. */
async function check(engineH: number | null, totC: number, heldS = 120): Promise<CheckHere> {
	const clock = { nowMs: () => Date.parse('2026-11-25T10:00:00.000Z'), upMs: () => seeds, clock: () => null };
	const key = openKey(softwareKey(random(32)));
	const opened = await openRecord(
		{ key, random, clock, unlocked: 'by-code' },
		{
			purpose: 'demo',
			role: 'engineer',
			name: 'E',
			aircraft: { registration: 'ZZ-LMA', type: 'Ouzel 3', serial: '1' },
			card: 'A'.repeat(43),
			typeData: 'A'.repeat(43),
		},
	);
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	const { set, writer } = opened.value;
	if (engineH !== null) await writer.write('header', { field: 'engineHours', value: engineH, unit: 'h' });
	const values = {
		heaterOff: true,
		antiIceOff: true,
		torquePct: 80,
		totC,
		ngPct: 90.9,
		pressureAltitudeFt: 2000,
		oatC: 10,
	};
	for (const [quantity, value] of Object.entries(values))
		await writer.write('reading', { flight: 1, run: null, subject: `power/${quantity}`, value, unit: '' });
	if (heldS > 0)
		await writer.write('hold', {
			flight: 1,
			run: null,
			step: null,
			field: 'power',
			neededS: 90,
			heldS,
			complete: true,
		});
	return { record: set.record, state: fold(set), card, typeData };
}

const of = (trends: ReturnType<typeof marginTrends>) => trends.find(({ title }) => /temperature|TOT/i.test(title));

describe('marginTrends(checks)', () => {
	it('puts the margins that count against engine hours, with their range, and says that a trend takes three', async () => {
		const trend = of(marginTrends([await check(1400, 672), await check(1300, 668)]));
		expect(trend?.trend?.points.map(({ atHours }) => atHours)).toEqual([1300, 1400]);
		expect(trend?.trend?.points[0]?.value).toBeCloseTo(chartTotC - 668, 1);
		const [point] = trend?.trend?.points ?? [];
		expect(point?.low95).toBeLessThan(point?.value ?? 0);
		expect(trend?.trend?.ahead).toEqual([]);
		expect(trend?.sentences).toEqual(['Margins with engine hours: 2. A trend takes three.']);
	});

	it('tells a fall that is proved, how far zero is, and draws it ahead with a widening range', async () => {
		const checks = await Promise.all([1900, 1800, 1700, 1600, 1500, 1400].map((h) => check(h, 656 + (h - 1400) / 50)));
		const trend = of(marginTrends(checks));
		// 2 °C in 100 h by construction
		expect(trend?.sentences[0]).toMatch(/^\u22122\.0 °C in 100 h/);
		expect(trend?.sentences[1]).toMatch(/^At this rate zero is about \d+ h away/);
		const ahead = trend?.trend?.ahead ?? [];
		expect(ahead.map(({ atHours }) => atHours)).toEqual([1900, 2025, 2150]);
		expect(ahead[2]!.value).toBeCloseTo(chartTotC - 656 - (2150 - 1400) / 50, 1);
	});

	it('counts no margin without its verdict, and names those without hours', async () => {
		const checks = [await check(null, 668), await check(1500, 668, 0), await check(1400, 668)];
		const trend = of(marginTrends(checks));
		expect(trend?.trend).toBeNull();
		expect(trend?.sentences).toEqual([
			'Margins with engine hours: 1. A trend takes three.',
			'Margins without engine hours: 1. Write the hours on Prepare.',
		]);
	});

	it('is empty for checks without a power check', () => {
		expect(marginTrends([])).toEqual([]);
	});
});
