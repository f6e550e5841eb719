import { FeedWatch } from '@stillmast/core/feed';
import { readAs } from '@stillmast/formats/problem';
import { type TypeData, typeDataSchema } from '@stillmast/formats/type-data';
import { holdRule, traceLimits } from '@stillmast/record/judge';
import { describe, expect, it } from 'vitest';
import typeJson from '../../../demo-scenarios/after-gearbox-smoothing/type.json';
import cardJson from '../../../demo-scenarios/whole-card/card.json';
import { sourceNow, stepRows } from '../src/lib/gauges/gauges.view.js';
import { judgedNow } from '../src/lib/gauges/step-judged.view.js';

const read = readAs(typeDataSchema, typeJson);
if (!read.ok) throw new Error(read.problem.code);
const typeData: TypeData = read.value;
const limits = traceLimits(typeData);

const level = { iasKt: 80, torquePct: 60, totC: 700, rotorRpmPct: 100, ngPct: 91.3 };

function heard(
	values: Readonly<Record<string, number>>,
	{ seconds = 2, hz = 20, watch = new FeedWatch(limits), fromS = 0 } = {},
): FeedWatch {
	for (let n = 0; n <= seconds * hz; n++) watch.hear({ timeS: fromS + n / hz, values }, fromS + n / hz);
	return watch;
}

describe('sourceNow(source, watch, typeData, nowS)', () => {
	it('[FEED-6] shows the lines that hold, with the one whose condition holds marked', () => {
		const now = sourceNow('bench', heard(level), typeData, 2);
		expect(now.rows.map(({ id, isNow, reading }) => [id, isNow, reading.state])).toEqual([
			['torque-above-40', true, 'inside'],
			['rotor-speed-low', false, 'inside'],
			['turbine-temperature', false, 'inside'],
		]);
		expect(now.others).toEqual(['airspeed 80 kt', 'gas generator speed 91.3 %']);
		expect(now).toMatchObject({ pulse: 'live', passed: null, near: null, faults: [] });
	});

	it('[FEED-6] names a passed limit, also one below', () => {
		expect(sourceNow('bench', heard({ ...level, torquePct: 95.5 }), typeData, 2).passed).toEqual({
			what: 'torque, above 40 kt',
			value: '95.5 %',
			limit: 'at most 92.7 %',
		});
		expect(sourceNow('bench', heard({ ...level, rotorRpmPct: 95 }), typeData, 2).passed?.limit).toBe('at least 97.0 %');
	});

	it('[FEED-6] without the airspeed nobody knows which torque line holds: past it is neither inside nor outside', () => {
		const { iasKt: _, ...blind } = level;
		const now = sourceNow('bench', heard({ ...blind, torquePct: 95.5 }), typeData, 2);
		expect(now.passed).toBeNull();
		expect(now.rows.find(({ id }) => id === 'torque-above-40')?.reading).toEqual({
			state: 'cannot-judge',
			reason: 'nobody knows whether this holds: above 40 kt',
		});
	});

	it('[FEED-6] says which line is near while torque rises towards it', () => {
		const watch = heard(level);
		for (let n = 1; n <= 15; n++)
			watch.hear({ timeS: 2 + n / 20, values: { ...level, torquePct: 60 + 2 * n } }, 2 + n / 20);
		expect(sourceNow('bench', watch, typeData, 2.75).near).toBe('torque, above 40 kt');
	});

	it('[FEED-7] [FEED-8] [FEED-9] words a stall with its age, a jump, a step back, a repeat and a flood', () => {
		const watch = heard(level);
		expect(sourceNow('bench', watch, typeData, 7.2)).toMatchObject({
			pulse: 'stalled',
			rows: [],
			others: [],
			status: 'Nothing for 5 s. Old values are not shown.',
		});
		expect(sourceNow('bench', watch, typeData, 200).brief).toBe('feed silent for 3 min');
		watch.hear({ timeS: 60, values: level }, 8);
		watch.hear({ timeS: 60, values: level }, 8.05);
		watch.hear({ timeS: 59.9, values: level }, 8.1);
		watch.hear({ timeS: 60.001, values: level }, 8.15);
		expect(sourceNow('bench', watch, typeData, 8.2).faults).toEqual([
			'Jumps ahead in its time: 1.',
			'Steps back in its time: 1.',
			'Moments that came twice: 1.',
			'Moments too many to show here: 1.',
		]);
	});
});

describe('stepRows(lines, typeData, sources)', () => {
	it('[FEED-6] keeps every line of the step in its place, with a bar only where the feed has it', () => {
		const lines = ['torque-to-40', 'torque-above-40', 'no-such-line'];
		const states = (sources: Parameters<typeof stepRows>[2]) =>
			stepRows(lines, typeData, sources).map(({ id, reading }) => [id, reading.state]);
		expect(states([])).toEqual([
			['torque-to-40', 'missing'],
			['torque-above-40', 'missing'],
		]);
		expect(states([sourceNow('bench', heard(level), typeData, 2)])).toEqual([
			['torque-to-40', 'missing'],
			['torque-above-40', 'inside'],
		]);
	});
});

describe('traceLimits(typeData)', () => {
	it('[FEED-6] joins the documents, and takes a condition that stands in words alone as one nobody knows', () => {
		const page = { ...typeData, limitDocuments: [] };
		const watch = heard({ ...level, torquePct: 95 }, { watch: new FeedWatch(traceLimits(page)) });
		const torque = watch.limits(2).find(({ parameter }) => parameter === 'torquePct');
		expect(torque?.lines.map(({ line, holds }) => [line, holds])).toEqual([
			['torque-above-40', 'maybe'],
			['torque-to-40', 'maybe'],
		]);
		expect(limits.parameters.map(({ id }) => id).toSorted()).toEqual(['iasKt', 'rotorRpmPct', 'torquePct', 'totC']);
	});
});

describe('judgedNow(watch, step, …)', () => {
	const step = (id: string) => cardJson.steps.find((one) => one.id === id) as never;
	const reading = (quantity: string) => ({ flight: 1, subject: `power/${quantity}`, holds: { value: true } });
	const confirmed = { readings: [reading('heaterOff'), reading('antiIceOff')] };
	const held = { torquePct: 78, totC: 700, ngPct: 92, pressureAltitudeFt: 2000, oatC: 15 };

	it('[FEED-6] tells a hold proved by the feed, and else what stands in its way', () => {
		const field = cardJson.steps.find(({ id }) => id === 'power')?.fields[0] as { id: string };
		const state = {
			readings: confirmed.readings.map((one) => ({ ...one, subject: one.subject.replace('power', field.id) })),
		};
		const steady = heard(held, { seconds: 88, hz: 5 });
		const short = judgedNow(steady, step('power'), { state: state as never, typeData }, 1);
		expect(short[0]?.because).toEqual(['88 of 90 s seen']);
		heard(held, { seconds: 4, hz: 5, watch: steady, fromS: 88.2 });
		const [proved] = judgedNow(steady, step('power'), { state: state as never, typeData }, 1);
		expect(proved).toMatchObject({ sentence: expect.stringMatching(/held steady for 90 s\.$/), because: [] });
		const [open] = judgedNow(steady, step('power'), { state: { readings: [] } as never, typeData }, 1);
		expect(open?.because).toEqual(['cabin heater off is not confirmed', 'engine anti-ice off is not confirmed']);
		expect(holdRule(typeData.holds?.[0] as never, typeData).limits).toEqual([
			{ id: 'torquePct', value: 92.7 },
			{ id: 'totC', value: 780 },
		]);
	});

	it('[FEED-6] times the newest movement of the lever against its aim', () => {
		const watch = new FeedWatch(limits);
		for (let n = 0; n <= 160; n++) {
			const timeS = n / 20;
			const leverPct = 20 + 60 * Math.min(1, Math.max(0, (timeS - 2) / 2));
			watch.hear({ timeS, values: { leverPct } }, timeS);
		}
		const state = { readings: [] } as never;
		expect(judgedNow(watch, step('raise-2'), { state, typeData }, 1)[0]?.sentence).toMatch(
			/: 2\.00 s, aim 1\.70 to 2\.30 s, inside$/,
		);
		expect(judgedNow(heard({ leverPct: 20 }), step('raise-2'), { state, typeData }, 1)[0]?.sentence).toMatch(
			/: no such movement in the last 20 s\.$/,
		);
	});
});
