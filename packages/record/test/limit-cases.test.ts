import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Card, cardSchema } from '@stillmast/formats/card';
import type { EntryOf } from '@stillmast/formats/entry';
import { readAs } from '@stillmast/formats/problem';
import { type TypeData, typeDataSchema } from '@stillmast/formats/type-data';
import { describe, expect, it } from 'vitest';
import { verifyRecordFile } from '../src/file/index.js';
import type { RecordState } from '../src/fold/state.js';
import { type LimitCase, type LineCase, limitCases, weighed } from '../src/judge/index.js';

/** The invented scenario; torque may reach 100 % to 40 kt and 92.7 % above, turbine temperature 780 °C. */
const folder = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios', 'after-gearbox-smoothing');
const report = await verifyRecordFile(readFileSync(join(folder, 'ZZ-LMA-2026-11-18.check.json')));
if (report.state === null) throw new Error('the signed check holds no first entry');
const state: RecordState = report.state;

function document<T>(name: string, schema: Parameters<typeof readAs<T>>[0]): T {
	const read = readAs(schema, JSON.parse(readFileSync(join(folder, name), 'utf8')));
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	return read.value;
}
const typeData: TypeData = document('type.json', typeDataSchema);
const card: Card = document('card.json', cardSchema);

const witness = (about: Partial<EntryOf<'witness'>>): EntryOf<'witness'> =>
	({
		kind: 'witness',
		hash: 'w1',
		flight: 2,
		parameter: 'torquePct',
		unit: '%',
		peakSure: null,
		peakPossible: null,
		above: null,
		timeAtLeastS: null,
		timeAtMostS: null,
		phase: '110 kt level',
		askedAlone: true,
		...about,
	}) as EntryOf<'witness'>;

const memory = (about: Partial<EntryOf<'memory'>>): EntryOf<'memory'> =>
	({
		kind: 'memory',
		hash: 'm1',
		flight: 2,
		parameter: 'torquePct',
		unit: '%',
		peak: null,
		peakAccuracy: 0.5,
		timeAboveS: null,
		timeAccuracyS: null,
		threshold: null,
		clearedAt: '2026-11-18T08:20:00.000Z',
		instrument: 'torque',
		...about,
	}) as EntryOf<'memory'>;

const decision = (about: Partial<EntryOf<'decision'>>): EntryOf<'decision'> =>
	({
		kind: 'decision',
		hash: 'd1',
		by: 'engineer-key',
		flight: 2,
		parameter: 'torquePct',
		line: 'torque-above-40',
		finding: 'possible',
		peakAtMost: null,
		timeAtMostS: null,
		evidence: ['w1'],
		reason: 'read with the pilot',
		reference: 'check manual 2-1',
		action: '',
		...about,
	}) as EntryOf<'decision'>;

function only(
	witnesses: readonly EntryOf<'witness'>[],
	memories: readonly EntryOf<'memory'>[] = [],
	decisions: readonly EntryOf<'decision'>[] = [],
): LimitCase {
	const limits = [{ flight: 2, parameter: 'torquePct', witnesses, memories, decisions }];
	const [first] = limitCases({ ...state, limits }, card, typeData);
	if (first === undefined) throw new Error('no case');
	return first;
}

function lineOf(one: LimitCase, id: string): LineCase {
	const found = one.lines.find(({ line }) => line.id === id);
	if (found === undefined) throw new Error(`no line ${id}`);
	return found;
}

describe('limitCases(state, card, typeData)', () => {
	it('[JDG-5] judges the line of the step that the witness names, and leaves the other condition out', () => {
		const one = only([witness({ peakSure: 94, peakPossible: 97 })]);
		expect(lineOf(one, 'torque-above-40').verdict).toBe('proved');
		expect(one.elsewhere.map(({ id }) => id)).toEqual(['torque-to-40']);
		expect([one.governing, one.governingProved]).toEqual(['torque-above-40', 'torque-above-40']);
		expect(one.isSettled).toBe(false);
	});

	it('[JDG-5] leaves a line possible when nobody says in which step it was', () => {
		const one = only([witness({ peakSure: 101, peakPossible: 102, phase: '' })]);
		expect(one.lines.map(({ line, condition, verdict }) => [line.id, condition, verdict])).toEqual([
			['torque-to-40', 'unknown', 'possible'],
			['torque-above-40', 'unknown', 'possible'],
		]);
		expect(one.governingProved).toBeNull();
	});

	it('takes a time for a line only as far as the value it refers to bounds that line', () => {
		const about = { timeAtLeastS: 2, timeAtMostS: 5, peakSure: 94 };
		expect(lineOf(only([witness({ ...about, above: 90 })]), 'torque-above-40').found.durationS).toEqual([0, null]);
		expect(lineOf(only([witness({ ...about, above: 95 })]), 'torque-above-40').found.durationS).toEqual([2, null]);
	});

	it('lowers the most by an instrument that was cleared and is accurate, never by a witness', () => {
		const seen = witness({ peakSure: 93, peakPossible: 94 });
		expect(lineOf(only([seen]), 'torque-above-40').found.peak).toEqual([93, null]);
		expect(lineOf(only([seen], [memory({ peak: 93.5 })]), 'torque-above-40').found.peak).toEqual([93, 94]);
	});

	it('[JDG-6] counts a decision until evidence comes that it does not weigh', () => {
		const seen = witness({ peakSure: 92, peakPossible: 95 });
		const decided = only([seen], [], [decision({ peakAtMost: 92.5, finding: 'not-passed' })]);
		expect(lineOf(decided, 'torque-above-40')).toMatchObject({ verdict: 'within', fault: null });
		expect([decided.governing, decided.isSettled]).toEqual([null, true]);

		const later = only(
			[seen, witness({ hash: 'w2', peakSure: 93 })],
			[],
			[decision({ peakAtMost: 92.5, finding: 'not-passed' })],
		);
		expect(lineOf(later, 'torque-above-40')).toMatchObject({ decision: null, verdict: 'proved' });
		expect(lineOf(later, 'torque-above-40').olderDecisions).toHaveLength(1);
		expect(later.isSettled).toBe(false);
	});

	it('keeps what is proved whatever a decision says', () => {
		const one = only([witness({ peakSure: 94 })], [], [decision({ finding: 'not-passed' })]);
		expect([one.governing, one.isSettled]).toEqual(['torque-above-40', true]);
	});

	it('shows a decision that goes below what was surely seen as no narrowing', () => {
		const one = only([witness({ peakSure: 94 })], [], [decision({ peakAtMost: 90, finding: 'not-passed' })]);
		expect(lineOf(one, 'torque-above-40').fault?.code).toBe('below-least');
		expect(one.governing).toBe('torque-above-40');
	});
});

describe('weighed(limitCase, line, decision)', () => {
	it('tells what a decision would leave before it is written', () => {
		const one = only([witness({ peakSure: 92 })]);
		const { line } = lineOf(one, 'torque-above-40');
		const asked = { by: 'E', role: 'engineer', why: 'trace read', reference: '2-1', peakMost: 92.6 };
		expect(weighed(one, line, asked)).toMatchObject({ ok: true, value: { verdict: 'within', peak: [92, 92.6] } });
		expect(weighed(one, line, { ...asked, peakMost: 91 })).toMatchObject({
			ok: false,
			problem: { code: 'below-least' },
		});
	});
});
