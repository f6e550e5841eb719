import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { CardFieldOf } from '@stillmast/formats/card';
import type { FieldsOf } from '@stillmast/formats/entry';
import { readTypeData, type TypeData } from '@stillmast/formats/type-data';
import { describe, expect, it } from 'vitest';
import { fold } from '../src/index.js';
import {
	autorotationStanding,
	consumerStanding,
	fieldStanding,
	holdStanding,
	rampStanding,
} from '../src/judge/index.js';
import { crew, type Hand } from './world/people.js';

/** Invented from end to end: the Ouzel 3 of the demo scenario. */
const file = join(import.meta.dirname, '../../../demo-scenarios/after-gearbox-smoothing/type.json');
const read = readTypeData(JSON.parse(readFileSync(file, 'utf8')));
if (!read.ok) throw new Error(JSON.stringify(read.problem));
const typeData: TypeData = read.value;

const power: CardFieldOf<'hold'> = { id: 'power', kind: 'hold', name: 'power assurance', hold: 'power-assurance' };
const ramp: CardFieldOf<'ramp'> = { id: 'ramp-2', kind: 'ramp', name: 'lever up in 2 s', transition: 'raise-in-2-s' };
const antiIce: CardFieldOf<'consumer'> = { id: 'ice', kind: 'consumer', name: 'anti-ice', consumer: 'anti-ice' };
const turns: CardFieldOf<'autorotation'> = { id: 'turns', kind: 'autorotation', name: 'rotor speed', runs: 2 };

async function writeAll(hand: Hand, values: Readonly<Record<string, number | boolean>>): Promise<void> {
	for (const [subject, value] of Object.entries(values)) {
		await hand.write('reading', { flight: 1, run: null, subject, value, unit: '' });
	}
}

/** At 80 % torque, 2 000 ft and 10 °C the invented charts give 682.2 °C and 91.6 % (read off the file by hand). */
const powerReadings = {
	'power/heaterOff': true,
	'power/antiIceOff': true,
	'power/torquePct': 80,
	'power/totC': 668,
	'power/ngPct': 90.9,
	'power/pressureAltitudeFt': 2000,
	'power/oatC': 10,
};
const timed: FieldsOf<'hold'> = {
	flight: 1,
	run: null,
	step: 'power',
	neededS: 90,
	heldS: 92,
	complete: true,
	field: 'power',
};

describe('holdStanding(state, typeData, field, flight)', () => {
	it('[JDG-7] tells every chart and a verdict once everything is written and proved steady', async () => {
		const { engineer } = await crew();
		await writeAll(engineer, powerReadings);
		const before = holdStanding(fold(engineer.set), typeData, power, 1);
		expect(before).toMatchObject({ missing: [], steady: 'not-told', verdict: null, problem: null });
		expect(before.margins?.charts.map(({ margin }) => Math.round(margin * 10) / 10)).toEqual([14.2, 0.7]);
		await engineer.write('hold', timed);
		expect(holdStanding(fold(engineer.set), typeData, power, 1)).toMatchObject({ steady: 'proved', verdict: 'meets' });
	});

	it('[JDG-7] gives no verdict for a hold too short, left, unconfirmed or with readings that differ', async () => {
		const standing = async (values: Readonly<Record<string, number | boolean>>, hold: FieldsOf<'hold'>) => {
			const { engineer } = await crew();
			await writeAll(engineer, values);
			await engineer.write('hold', hold);
			return holdStanding(fold(engineer.set), typeData, power, 1);
		};
		expect(await standing(powerReadings, { ...timed, heldS: 89 })).toMatchObject({
			steady: 'not-proved',
			verdict: null,
		});
		expect(await standing(powerReadings, { ...timed, complete: false })).toMatchObject({ verdict: null });
		expect(await standing({ ...powerReadings, 'power/heaterOff': false }, timed)).toMatchObject({
			notMet: ['power/heaterOff'],
			verdict: null,
		});
		const { 'power/oatC': _, ...withoutOat } = powerReadings;
		expect(await standing(withoutOat, timed)).toMatchObject({ missing: ['power/oatC'], margins: null, verdict: null });
		const { engineer, pilot, hear } = await crew();
		await writeAll(engineer, powerReadings);
		await engineer.write('hold', timed);
		await writeAll(pilot, { 'power/totC': 684 });
		hear();
		expect(holdStanding(fold(engineer.set), typeData, power, 1)).toMatchObject({
			differing: ['power/totC'],
			margins: null,
			verdict: null,
		});
	});

	it('[JDG-7] takes what a feed averaged where nobody wrote, and names the axis left outside a chart', async () => {
		const { engineer } = await crew();
		const { 'power/torquePct': _torque, 'power/totC': _tot, ...written } = powerReadings;
		await writeAll(engineer, { ...written, 'power/oatC': 44 });
		await engineer.write('hold', {
			...timed,
			parameters: { torquePct: { mean: 80, sd: 0.2 }, totC: { mean: 668, sd: 1 } },
		});
		const standing = holdStanding(fold(engineer.set), typeData, power, 1);
		expect(standing.problem).toMatchObject({
			code: 'outside-chart',
			found: 44,
			needed: { axis: 'oatC', atLeast: -20, atMost: 40 },
		});
		expect(standing).toMatchObject({ missing: [], verdict: null });
	});
});

describe('rampStanding(state, typeData, field, flight)', () => {
	const attempt: FieldsOf<'attempt'> = {
		flight: 1,
		step: 'ramps',
		attempt: 1,
		field: 'ramp-2',
		signal: 'leverPct',
		totalS: 2.9,
		equivalentLinearS: 2,
		rangeS: [1.96, 2.04],
		steepestPctPerS: 45,
		rampSamples: 80,
		peaks: { torquePct: 100.5, totC: 771 },
		lows: { rotorRpmPct: 97 },
		aim: { time: 'equivalent-linear', targetS: 2, bandS: 0.3 },
		verdict: 'inside',
		traces: [],
	};

	it('[JDG-8] judges each attempt anew, a call by hand with the hand’s range, and keeps them all', async () => {
		const { engineer } = await crew();
		await engineer.write('attempt', attempt);
		const { rangeS: _, ...bare } = attempt;
		const called = { ...bare, signal: 'crew-call', totalS: null, equivalentLinearS: null, rampSamples: 0 };
		await engineer.write('attempt', { ...called, attempt: 2, calledS: 2, peaks: {} });
		await engineer.write('attempt', { ...called, attempt: 3, calledS: 2.2, peaks: {} });
		await engineer.write('attempt', { ...attempt, attempt: 4, signal: 'torquePct' });
		await engineer.write('attempt', { ...attempt, attempt: 5, field: 'ramp-3' });
		const { attempts, summary } = rampStanding(fold(engineer.set), typeData, ramp, 1);
		expect(attempts.map(({ verdict }) => verdict)).toEqual(['inside', 'inside', 'cannot-tell', 'no-target']);
		expect(attempts[2]?.timed?.rangeS).toEqual([2.2 - 0.2, 2.2 + 0.2]);
		expect(summary).toMatchObject({ count: 4, inside: 2, outside: 0, cannotTell: 1 });
		expect(attempts[0]?.watched.map(({ parameter, side }) => [parameter, side])).toEqual([
			['torquePct', 'beyond'],
			['totC', 'inside'],
			['rotorRpmPct', 'inside'],
		]);
		expect(attempts[1]?.watched.map(({ side }) => side)).toEqual(['not-seen', 'not-seen', 'inside']);
	});
});

describe('consumerStanding(state, typeData, field, flight)', () => {
	const off = { 'ice/off-before/totC': 690, 'ice/off-before/torquePct': 70 };
	const rest = {
		'ice/on/totC': 707,
		'ice/on/torquePct': 70,
		'ice/off-after/totC': 690,
		'ice/off-after/torquePct': 70,
	};
	async function hold(hand: Hand, part: string, heldS = 35): Promise<void> {
		const fields = { flight: 1, run: null, step: 'consumers', neededS: 30, heldS, complete: heldS >= 30 };
		await hand.write('hold', { ...fields, field: `ice/${part}` });
	}

	it('[JDG-9] judges off, on and off again, each held; without a timing a part is held not at all', async () => {
		const { engineer } = await crew();
		await writeAll(engineer, off);
		await hold(engineer, 'off-before');
		const first = consumerStanding(fold(engineer.set), typeData, antiIce, 1);
		expect(Object.keys(first.parts)).toEqual(['off-before']);
		expect(first.judgement).toBeNull();
		await writeAll(engineer, rest);
		await hold(engineer, 'on');
		const untimed = consumerStanding(fold(engineer.set), typeData, antiIce, 1);
		expect(untimed.problem).toMatchObject({ code: 'held-too-short', found: 0, needed: 30 });
		await hold(engineer, 'off-after');
		const { judgement, timesBy } = consumerStanding(fold(engineer.set), typeData, antiIce, 1);
		expect(judgement).toMatchObject({ verdict: 'works', riseC: 17 });
		// The test's clocks stand still: only the order is known.
		expect(timesBy).toBe('order');
	});
});

describe('autorotationStanding(state, typeData, field, flight)', () => {
	const run = (at: number, rotorRpmPct: number) => ({
		[`autorotation/turns/${at}/rotorRpmPct`]: rotorRpmPct,
		[`autorotation/turns/${at}/massKg`]: 1900,
		[`autorotation/turns/${at}/pressureAltitudeFt`]: 2000,
		[`autorotation/turns/${at}/oatC`]: 11.04,
	});

	it('[JDG-10] compares whole runs with the chart at their density altitude, and advises from two on', async () => {
		const { engineer } = await crew();
		await writeAll(engineer, run(1, 99));
		const one = autorotationStanding(fold(engineer.set), typeData, turns, 1);
		expect(one).toMatchObject({ runs: { length: 1 }, judgement: { noAdvice: 'too-few-runs', change: null } });
		// 2 000 ft at its standard temperature: 2 000 ft density altitude, where the chart says 101.9 % at 1 900 kg.
		expect(one.judgement?.targetsPct[0]).toBeCloseTo(101.9, 1);
		await writeAll(engineer, run(2, 99.5));
		const two = autorotationStanding(fold(engineer.set), typeData, turns, 1);
		expect(two.missing).toEqual([]);
		expect(two.judgement?.change).toEqual({
			units: -5,
			words: 'All 3 blades equally: make shorter 5 flat',
			expectedPct: 2.5,
		});
	});

	it('[JDG-10] is measured again after a link has changed', async () => {
		const { engineer } = await crew();
		await writeAll(engineer, run(1, 99));
		await engineer.write('adjustment', { rotor: 'main', after: 1, stage: 'made', settings: { 'link-A': 1 } });
		const again = fold(engineer.set).measureAgain.map(({ result }) => result);
		expect(again).toContain('autorotation/turns/1/rotorRpmPct');
	});
});

describe('fieldStanding(state, typeData, field, flight)', () => {
	it('tells a number against its line, a confirmation, and texts side by side', async () => {
		const { engineer, pilot, hear } = await crew();
		await writeAll(engineer, { torque: 93.5, done: true });
		const words = { subject: '1/remarks', replaces: [] };
		await engineer.write('narrative', { ...words, text: 'dry' });
		await pilot.write('narrative', { ...words, text: 'smooth' });
		hear();
		const state = fold(engineer.set);
		const line = { line: 'torque-above-40', unit: '%', resolution: 0.5 };
		const number = fieldStanding(state, typeData, { id: 'torque', kind: 'number', name: 'torque', ...line }, 1);
		expect(number).toMatchObject({ kind: 'number', side: 'beyond', reading: { value: 93.5 } });
		expect(fieldStanding(state, typeData, { id: 'done', kind: 'done', name: 'done' }, 1)).toMatchObject({
			isDone: true,
		});
		const texts = fieldStanding(state, typeData, { id: 'remarks', kind: 'text', name: 'remarks' }, 1);
		expect(texts.kind === 'text' ? texts.texts.map(({ text }) => text).sort() : []).toEqual(['dry', 'smooth']);
	});
});
