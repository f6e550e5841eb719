import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type Card, type CardField, cardFaults, cardSchema, consumerParts, fieldSubjects } from '../src/card/index.js';
import { readAs } from '../src/problem/index.js';
import { chartOf, readTypeData, type TypeData } from '../src/type-data/index.js';

/** Invented from end to end: the Ouzel 3 of the demo scenario. */
const folder = join(import.meta.dirname, '../../../demo-scenarios/after-gearbox-smoothing');
const text = (name: string): string => readFileSync(join(folder, name), 'utf8');

/** A fresh copy of the type data, of which a test may spoil one thing. */
function spoiled(spoil: (type: TypeData) => void): unknown {
	const type = JSON.parse(text('type.json')) as TypeData;
	spoil(type);
	return type;
}
const read = readTypeData(JSON.parse(text('type.json')));
if (!read.ok) throw new Error(JSON.stringify(read.problem));
const typeData = read.value;

const step = { id: 'one', title: 'One', phase: 'preparation', hold: 'Hold.', lines: [] };
const cardOf = (fields: readonly object[], more: object = {}): Card => {
	const card = {
		format: 'stillmast/card@1',
		id: 'card',
		title: 'Card',
		revision: '1',
		type: 'Ouzel 3',
		invented: true,
		signedBy: ['pilot'],
		steps: [{ ...step, ...more, fields }],
	};
	const done = readAs(cardSchema, card);
	if (!done.ok) throw new Error(JSON.stringify(done.problem));
	return done.value;
};

describe('readTypeData(value)', () => {
	it('reads the invented type, its charts among it', () => {
		expect(chartOf(typeData, 'totC')?.kind).toBe('grid');
		expect(chartOf(typeData, 'nothing')).toBeUndefined();
	});

	const rows: readonly [string, (type: TypeData) => void, object][] = [
		[
			'a chart whose axis falls',
			(type) => type.charts?.[0]?.kind === 'grid' && type.charts[0].axes[0]?.values.reverse(),
			{ path: '$.charts[0].axes[0].values[1]' },
		],
		[
			'a line with two bounds',
			(type) => Object.assign(type.limitDocuments?.[0]?.parameters[0]?.lines?.[0] ?? {}, { below: 1 }),
			{ path: '$.limitDocuments[0].parameters[0].lines[0]', found: 'above and below' },
		],
		['an id that stands twice', (type) => type.holds?.push(...type.holds), { path: '$.holds[1]' }],
		[
			'a hold that names no chart',
			(type) => type.holds?.[0]?.charts.push('no'),
			{ path: '$.holds[0].charts[2]', found: 'no' },
		],
		[
			'a hold that names no line',
			(type) => type.holds?.[0]?.lines.push('no'),
			{ path: '$.holds[0].lines[2]', found: 'no' },
		],
		[
			'a watched line that is not there',
			(type) => type.transitions?.[1]?.watch[0]?.lines.push('no'),
			{ path: '$.transitions[1].watch[0].lines[1]' },
		],
		[
			'an autorotation on another rotor',
			(type) => type.autorotation && Object.assign(type.autorotation, { rotor: 'no' }),
			{ path: '$.autorotation.rotor', needed: 'one of main, tail' },
		],
	];
	it.each(rows)('refuses %s and says where', (_, spoil, problem) => {
		expect(readTypeData(spoiled(spoil))).toMatchObject({ ok: false, problem: { code: 'not-allowed', ...problem } });
	});

	it('has each limit line once in words and once as a trace is judged by, at the same bound', () => {
		const judged = (typeData.limitDocuments ?? []).flatMap(({ parameters }) =>
			parameters.flatMap(({ id, unit, lines = [] }) =>
				lines.map((line) => [line.id, id, unit, line.above, line.below, line.maxSeconds, line.family]),
			),
		);
		const words = typeData.limits.map((line) => {
			return [line.id, line.parameter, line.unit, line.above, line.below, line.maxSeconds, line.family];
		});
		expect(judged.sort()).toEqual(words.sort());
	});
});

describe('cardFaults(card, typeData)', () => {
	it('finds nothing wrong with the demo card', () => {
		const card = readAs(cardSchema, JSON.parse(text('card.json')));
		expect(card.ok ? cardFaults(card.value, typeData) : card).toEqual([]);
	});

	it('names every field that points at nothing, twice given ids, and steps that come later', () => {
		const card = cardOf(
			[
				{ id: 'a', kind: 'vibration', rotor: 'third', channel: 'hover/lat' },
				{ id: 'a', kind: 'vibration', rotor: 'main', channel: 'hover/up' },
				{ id: 'b', kind: 'number', name: 'n', unit: '%', resolution: 1, line: 'no' },
				{ id: 'c', kind: 'hold', name: 'n', hold: 'no' },
				{ id: 'd', kind: 'ramp', name: 'n', transition: 'no' },
				{ id: 'e', kind: 'consumer', name: 'n', consumer: 'no' },
				{ id: 'f', kind: 'autorotation', name: 'n', runs: 2 },
				{ id: 'g', kind: 'text', name: 'n' },
			],
			{ lines: ['no'], needs: ['one'] },
		);
		const { autorotation: _, ...without } = typeData;
		expect(cardFaults(card, without).map(({ path }) => path)).toEqual([
			'$.steps[0].needs[0]',
			'$.steps[0].lines[0]',
			'$.steps[0].fields[0].rotor',
			'$.steps[0].fields[1].id',
			'$.steps[0].fields[1].channel',
			'$.steps[0].fields[2].line',
			'$.steps[0].fields[3].hold',
			'$.steps[0].fields[4].transition',
			'$.steps[0].fields[5].consumer',
			'$.steps[0].fields[6]',
		]);
	});
});

describe('fieldSubjects(field, typeData)', () => {
	it('lists every reading of a hold, a consumer and an autorotation in the order to be written', () => {
		const [hold, consumer, turns, ramp] = cardOf([
			{ id: 'power', kind: 'hold', name: 'power', hold: 'power-assurance' },
			{ id: 'ice', kind: 'consumer', name: 'ice', consumer: 'anti-ice' },
			{ id: 'turns', kind: 'autorotation', name: 'turns', runs: 2 },
			{ id: 'ramp', kind: 'ramp', name: 'ramp', transition: 'raise-in-2-s' },
		]).steps.flatMap(({ fields }) => fields);
		const subjects = (field: CardField | undefined): readonly string[] =>
			field === undefined ? [] : fieldSubjects(field, typeData).map(({ subject }) => subject);
		expect(subjects(hold).slice(0, 3)).toEqual(['power/heaterOff', 'power/antiIceOff', 'power/torquePct']);
		expect(subjects(consumer)).toEqual(consumerParts.flatMap((part) => [`ice/${part}/totC`, `ice/${part}/torquePct`]));
		expect(subjects(turns)).toHaveLength(8);
		expect(subjects(turns)[4]).toBe('autorotation/turns/2/rotorRpmPct');
		expect(subjects(ramp)).toEqual([]);
	});
});
