import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { evaluateCard } from '@stillmast/core/card';
import { type Card, type CardField, cardFaults, cardSchema, textSubject } from '@stillmast/formats/card';
import type { FieldsOf, Kind } from '@stillmast/formats/entry';
import { readAs } from '@stillmast/formats/problem';
import { readTypeData, type TypeData } from '@stillmast/formats/type-data';
import { type EntrySet, fold, type RecordState, rulesOf } from '@stillmast/record';
import { cardFacts, cardModel, dueItems, type FieldStanding, fieldStanding, openItems } from '@stillmast/record/judge';
import { openKey, softwareKey } from '@stillmast/record/pen';
import { ChainWriter, openRecord } from '@stillmast/record/writer';
import { beforeAll, describe, expect, it } from 'vitest';

const scenarios = join(import.meta.dirname, '..', '..', 'demo-scenarios');
const json = (name: string): unknown => JSON.parse(readFileSync(join(scenarios, name), 'utf8'));

interface Flown {
	readonly entries: readonly (readonly ['engineer' | 'pilot', Kind, FieldsOf<Kind>])[];
}
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
const expected = json('whole-card/expected.json') as Expected;

function sound<T>(
	read: { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: unknown },
): T {
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	return read.value;
}
const card: Card = sound(readAs(cardSchema, json('whole-card/card.json')));
const typeData: TypeData = sound(readTypeData(json('after-gearbox-smoothing/type.json')));
const fields: readonly CardField[] = card.steps.flatMap((step) => step.fields);

/** Fixed bytes and a clock that ticks a minute an entry: the flight is the same in every run. */
class Crew {
	readonly engineer: ChainWriter;
	readonly pilot: ChainWriter;
	readonly #set: EntrySet;

	private constructor(set: EntrySet, engineer: ChainWriter, pilot: ChainWriter) {
		this.#set = set;
		this.engineer = engineer;
		this.pilot = pilot;
	}

	static async open(): Promise<Crew> {
		let drawn = 0;
		let minutes = 0;
		const random = (length: number) => Uint8Array.from({ length }, () => drawn++ % 251);
		const clock = {
			nowMs: () => Date.parse('2026-03-01T10:00:00.000Z') + 60_000 * minutes++,
			upMs: () => minutes,
			clock: () => null,
		};
		const pen = () => ({ key: openKey(softwareKey(random(32))), random, clock, unlocked: 'by-code' as const });
		const [own, other] = [pen(), pen()];
		const hash = 'A'.repeat(43);
		const aircraft = { registration: 'ZZ-LMW', type: 'Ouzel 3', serial: '0307' };
		const opened = { purpose: 'demo', role: 'engineer', name: 'E', aircraft, card: hash, typeData: hash } as const;
		const { set, writer } = sound(await openRecord(own, opened));
		const enrolled = { publicKey: other.key.publicKey, role: 'pilot', name: 'P', invite: null } as const;
		sound(await writer.write('enrolled', enrolled));
		return new Crew(set, writer, new ChainWriter(set, other));
	}

	async fly({ entries }: Flown): Promise<void> {
		for (const [by, kind, own] of entries) sound(await this[by].write(kind, own));
	}

	state(): RecordState {
		return fold(this.#set, { rules: rulesOf(typeData, card) });
	}
}

describe('scenario whole-card (invented)', () => {
	let crew: Crew;
	let state: RecordState;
	const standing = <K extends FieldStanding['kind']>(id: string): Extract<FieldStanding, { readonly kind: K }> => {
		const field = fields.find((one) => one.id === id);
		if (field === undefined) throw new Error(`no field ${id}`);
		return fieldStanding(state, typeData, field, 1) as Extract<FieldStanding, { readonly kind: K }>;
	};

	beforeAll(async () => {
		crew = await Crew.open();
		await crew.fly(json('whole-card/flown.json') as Flown);
		state = crew.state();
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

	it('before anything is written, nothing is known of its conditions and the papers come first', async () => {
		const empty = (await Crew.open()).state();
		const { next, steps } = evaluateCard(cardModel(card, typeData), cardFacts(empty, card, typeData));
		expect(next).toBe('papers');
		const codes = (id: string) => steps.find((step) => step.id === id)?.blocks.map(({ code }) => code);
		expect(codes('power')).toEqual(['entry-unknown']);
		expect(codes('raise-2')).toEqual(['needs-step']);
		expect(codes('autorotation')).toEqual(['needs-step', 'entry-unknown']);
	});

	it('flown whole, every step is done and nothing stands against it', () => {
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
		sound(
			await crew.engineer.write('adjustment', { rotor: 'main', after: 1, stage: 'made', settings: { 'link-B': 1 } }),
		);
		const changed = crew.state();
		const { steps, shortCard } = evaluateCard(cardModel(card, typeData), cardFacts(changed, card, typeData));
		expect(shortCard).toEqual(expected.againAfterLink);
		const codes = (id: string) => steps.find((step) => step.id === id)?.blocks.map(({ code }) => code);
		expect(codes('ground-run')).toEqual([]);
		expect(codes('lift-off')).toEqual(['inspection-outstanding', 'not-reviewed']);
		expect(openItems(changed, 2)).toEqual([{ item: 'setting/main/link-B', reviewed: null }]);
		const gone = { flight: 2, item: 'setting/main/link-B', state: 'confirmed' } as const;
		sound(await crew.pilot.write('review', gone));
		expect(openItems(crew.state(), 2)).toEqual([{ item: 'setting/main/link-B', reviewed: 'confirmed' }]);
		const due = dueItems(crew.state(), typeData);
		expect(due.map((one) => one.due.id)).toEqual(expected.dueAfterLink);
		expect(due[0]?.because).toEqual(['main/link-B']);
	});
});
