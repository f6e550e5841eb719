import { evaluateCard } from '@stillmast/core/card';
import { type Card, type CardField, cardFaults, textSubject } from '@stillmast/formats/card';
import type { ScenarioEvent } from '@stillmast/formats/scenario';
import type { TypeData } from '@stillmast/formats/type-data';
import { EntrySet, fold, type RecordState, rulesOf } from '@stillmast/record';
import { cardFacts, cardModel, dueItems, type FieldStanding, fieldStanding, openItems } from '@stillmast/record/judge';
import { beforeAll, describe, expect, it } from 'vitest';
import { notCounted, type PlayedScenario, playShipped } from './played.js';

interface Expected {
	readonly level: string;
	readonly because: readonly string[];
	readonly power: { readonly steady: string; readonly verdict: string; readonly governing: string };
	readonly heater: object;
	readonly ice: object;
	readonly 'raise-3': { readonly verdicts: readonly string[] };
	readonly 'raise-2': { readonly verdicts: readonly string[] };
	readonly turns: object;
	readonly againAfterLink: readonly string[];
	readonly dueAfterLink: readonly string[];
}
describe('scenario whole-card (invented)', () => {
	let shown: PlayedScenario<Expected>;
	let state: RecordState;
	let card: Card;
	let typeData: TypeData;
	let fields: readonly CardField[];
	let expected: Expected;
	const standing = <K extends FieldStanding['kind']>(id: string): Extract<FieldStanding, { readonly kind: K }> => {
		const field = fields.find((one) => one.id === id);
		if (field === undefined) throw new Error(`no field ${id}`);
		return fieldStanding(state, typeData, field, 1) as Extract<FieldStanding, { readonly kind: K }>;
	};

	beforeAll(async () => {
		shown = await playShipped('whole-card');
		({ state, card, typeData, expected } = shown);
		fields = card.steps.flatMap((step) => step.fields);
	});

	it('is a card without faults that holds every kind of field and every part of a check flight', () => {
		expect(cardFaults(card, typeData)).toEqual([]);
		const kinds = ['vibration', 'number', 'done', 'text', 'hold', 'ramp', 'consumer', 'autorotation'];
		expect([...new Set(fields.map(({ kind }) => kind))].sort()).toEqual(kinds.sort());
		const phases = ['preparation', 'ground', 'lift-off', 'hover', 'level', 'descent', 'landing', 'after'];
		expect([...new Set(card.steps.map(({ phase }) => phase))]).toEqual(phases);
		expect(card.steps.at(0)?.id).toBe('papers');
		expect(card.steps.at(-1)?.id).toBe('signing');
		expect(card.steps.every((step) => step.fields.length >= 1 && step.fields.length <= 4)).toBe(true);
	});

	it('is Level A because of the steps that make it so', () => {
		const { level } = evaluateCard(cardModel(card, typeData), cardFacts(state, card, typeData));
		expect(level).toMatchObject({ level: expected.level, because: expected.because });
	});

	it('before anything is written, nothing is known of its conditions and the papers come first', () => {
		const opened = shown.played.set.inOrder().slice(0, 1);
		const empty = fold(new EntrySet(shown.played.set.record, opened), { rules: rulesOf(typeData, card) });
		const { next, steps } = evaluateCard(cardModel(card, typeData), cardFacts(empty, card, typeData));
		expect(next).toBe('papers');
		const codes = (id: string) => steps.find((step) => step.id === id)?.blocks.map(({ code }) => code);
		expect(codes('power')).toEqual(['entry-unknown']);
		expect(codes('raise-2')).toEqual(['needs-step']);
		expect(codes('autorotation')).toEqual(['needs-step', 'entry-unknown']);
	});

	it('flown whole, every step is done and nothing stands against it', () => {
		expect(notCounted(state)).toEqual([]);
		const { next, steps, shortCard } = evaluateCard(cardModel(card, typeData), cardFacts(state, card, typeData));
		expect(steps.filter((step) => step.state !== 'done' || step.blocks.length > 0)).toEqual([]);
		expect(next).toBeNull();
		expect(shortCard).toEqual([]);
	});

	it('power assurance, consumers, transitions and autorotation say what the scenario expects', () => {
		const { power, heater, ice, turns } = expected;
		const hold = standing<'hold'>('power');
		expect(hold).toMatchObject({ steady: power.steady, verdict: power.verdict, missing: [], notMet: [] });
		expect(hold.margins?.governing.result).toBe(power.governing);
		expect(standing<'consumer'>('heater')).toMatchObject({ judgement: heater, timesBy: 'clock', problem: null });
		expect(standing<'consumer'>('ice').judgement).toMatchObject(ice);
		for (const id of ['raise-3', 'raise-2'] as const) {
			const { attempts, rule } = standing<'ramp'>(id);
			expect(attempts.map(({ verdict }) => verdict)).toEqual(expected[id].verdicts);
			expect(attempts.flatMap(({ watched }) => watched.map(({ side }) => side))).not.toContain('beyond');
			expect(rule?.aim.targetS).toBe(Number(id.slice(-1)));
		}
		expect(standing<'autorotation'>('turns').judgement).toMatchObject(turns);
		expect(state.narratives.get(textSubject(1, 'open-items'))).toHaveLength(1);
	});

	it('[JDG-11] [JDG-12] a link changed afterwards makes vibration and autorotation stale, asks for an inspection and makes a torque check due', async () => {
		expect(dueItems(state, typeData).map(({ due }) => due.id)).toEqual(['gear-off']);
		const settings = { 'link-B': 1 };
		const change: ScenarioEvent = {
			do: 'write',
			by: 'workshop',
			kind: 'adjustment',
			fields: { rotor: 'main', after: 1, stage: 'made', settings },
		};
		const changed = (await playShipped('whole-card', [change])).state;
		const { steps, shortCard } = evaluateCard(cardModel(card, typeData), cardFacts(changed, card, typeData));
		expect(shortCard).toEqual(expected.againAfterLink);
		const codes = (id: string) => steps.find((step) => step.id === id)?.blocks.map(({ code }) => code);
		expect(codes('ground-run')).toEqual([]);
		expect(codes('lift-off')).toEqual(['inspection-outstanding', 'not-reviewed']);
		expect(openItems(changed, 2)).toEqual([{ item: 'setting/main/link-B', reviewed: null }]);
		const fields = { flight: 2, item: 'setting/main/link-B', state: 'confirmed' };
		const gone = await playShipped('whole-card', [change, { do: 'write', by: 'cockpit', kind: 'review', fields }]);
		expect(openItems(gone.state, 2)).toEqual([{ item: 'setting/main/link-B', reviewed: 'confirmed' }]);
		const due = dueItems(gone.state, typeData);
		expect(due.map((one) => one.due.id)).toEqual(expected.dueAfterLink);
		expect(due[0]?.because).toEqual(['main/link-B']);
	});
});
