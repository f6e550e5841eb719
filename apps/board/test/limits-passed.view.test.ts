import { readFileSync } from 'node:fs';
import type { Card } from '@stillmast/formats/card';
import type { EntryOf } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { limitCases } from '@stillmast/record/judge';
import { describe, expect, it } from 'vitest';
import { linesIn, readDecision, readMemory, readWitness, sawNothing } from '../src/lib/check/evidence-forms.view.js';
import { caseView, durationBars, lineSentences, peakBars } from '../src/lib/check/limits-passed.view.js';

// The invented Ouzel 3: torque at most 92.7 % above 40 kt, 100 % to 40 kt; rotor speed at least 97 %.
const folder = new URL('../../../demo-scenarios/after-gearbox-smoothing/', import.meta.url);
const document = (name: string) => JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as unknown;
const card = document('card.json') as Card;
const typeData = document('type.json') as TypeData;
const lineNamed = (id: string) => typeData.limits.find((line) => line.id === id)!;
const torque = lineNamed('torque-above-40');

const form = {
	flight: 2,
	line: torque.id,
	step: '110 kt level',
	sure: '93,5',
	possible: '96',
	atLeastS: '2',
	atMostS: '5',
	text: '',
};

describe('readWitness(form, line, askedAlone)', () => {
	it('takes decimal comma and point, and leaves out what was not said', () => {
		const read = readWitness({ ...form, possible: '', atMostS: '' }, torque, true);
		expect(read).toMatchObject({
			ok: true,
			value: { peakSure: 93.5, peakPossible: null, above: 92.7, timeAtLeastS: 2, timeAtMostS: null, askedAlone: true },
		});
	});

	it.each([
		[{ sure: '', possible: '', atLeastS: '', atMostS: '' }, 'say that you saw nothing'],
		[{ possible: '92' }, 'Highest it may have been lies nearer'],
		[{ atMostS: '1' }, 'At most, seconds lies nearer'],
		[{ sure: 'high' }, 'not a number: Highest you are sure of'],
	])('refuses %o in a sentence', (change, words) => {
		const read = readWitness({ ...form, ...change }, torque, true);
		expect(read.ok).toBe(false);
		expect(read.ok ? '' : read.problem.found).toContain(words);
	});

	it('turns with a limit that lies below', () => {
		const rotor = lineNamed('rotor-speed-low');
		expect(readWitness({ ...form, sure: '96', possible: '95' }, rotor, true).ok).toBe(true);
		expect(readWitness({ ...form, sure: '95', possible: '96' }, rotor, true).ok).toBe(false);
	});
});

describe('readMemory(form, about) and readDecision(form, line)', () => {
	const kept = {
		instrument: 'gauge',
		peak: '94.2',
		accuracy: '0.5',
		threshold: '',
		timeBeyondS: '',
		timeAccuracyS: '',
	};
	const about = { flight: 2, parameter: 'torquePct', unit: '%' };

	it('keeps when an instrument was cleared, or that nobody knows', () => {
		expect(readMemory({ ...kept, clearedAt: null }, about)).toMatchObject({ value: { peak: 94.2, clearedAt: null } });
		expect(readMemory({ ...kept, peak: '', clearedAt: null }, about).ok).toBe(false);
	});

	it('wants a reason and a manual reference for a decision', () => {
		const asked = { peakMost: '', timeMostS: '4', reason: 'read together', reference: '2-1', action: '' };
		expect(readDecision(asked, torque)).toMatchObject({ value: { peakMost: null, timeMostS: 4 } });
		expect(readDecision({ ...asked, reference: ' ' }, torque).ok).toBe(false);
	});
});

describe('linesIn(typeData, card, parameter, step)', () => {
	it('offers the lines that the step allows, and all of them when nobody says which step', () => {
		expect(linesIn(typeData, card, 'torquePct', '110 kt level').map(({ id }) => id)).toEqual(['torque-above-40']);
		expect(linesIn(typeData, card, 'torquePct', '')).toHaveLength(2);
	});
});

describe('a limit passed as a reader sees it', () => {
	const fieldsOf = (change: Partial<typeof form>) => {
		const read = readWitness({ ...form, ...change }, torque, true);
		if (!read.ok) throw new Error(read.problem.found);
		return read.value;
	};
	const engineer = { ...fieldsOf({}), hash: 'w-e', by: 'engineer-key' } as EntryOf<'witness'>;
	const blind = { ...sawNothing(form, torque, true), hash: 'w-p', by: 'pilot-key' } as EntryOf<'witness'>;
	const people = new Map([
		['engineer-key', { role: 'engineer' }],
		['pilot-key', { role: 'pilot' }],
	]);
	const stateOf = (witnesses: readonly EntryOf<'witness'>[]) =>
		({
			people,
			limits: [{ flight: 2, parameter: 'torquePct', witnesses, memories: [], decisions: [] }],
		}) as unknown as RecordState;
	const caseOf = (state: RecordState) => limitCases(state, card, typeData)[0]!;

	it('hides the others from a witness who has not written, and from nobody else', () => {
		const state = stateOf([engineer]);
		const one = caseOf(state);
		expect(caseView(one, state, 'pilot-key', true).hidden).toEqual(['E']);
		expect(caseView(one, state, 'engineer-key', true).hidden).toEqual([]);
		expect(caseView(one, state, 'support-key', false).hidden).toEqual([]);
		expect(caseView(caseOf(stateOf([engineer, blind])), state, 'pilot-key', true).hidden).toEqual([]);
	});

	it('draws each answer against the wall, one who saw nothing in words alone', () => {
		const state = stateOf([engineer, blind]);
		const one = caseOf(state);
		const high = peakBars(one, one.lines[0]!, state);
		expect(high.axis.wallAt).toBe(92.7);
		expect(high.rows.map(({ words }) => words)).toEqual(['93.5 to 96.0 %', 'saw nothing', 'at least 93.5 %']);
		expect(high.rows[1]).toMatchObject({ atLeast: null, atMost: null });
		const long = durationBars(one, one.lines[0]!, state);
		expect(long.rows.map(({ words }) => words)).toEqual(['2.0 to 5.0 s', 'saw nothing', 'at least 2.0 s']);
	});

	it('says that nobody named the condition', () => {
		const state = stateOf([{ ...engineer, phase: '' }]);
		const one = caseOf(state);
		expect(lineSentences(one, one.lines[1]!, state)).toContain('Nobody says that its condition held: above 40 kt.');
	});

	it('has no number where nobody claims one', () => {
		const state = stateOf([blind]);
		const one = caseOf(state);
		expect(peakBars(one, one.lines[0]!, state).rows.map(({ words }) => words)).toEqual(['saw nothing', 'not said']);
	});
});
