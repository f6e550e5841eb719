import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { RotorProblem } from '@stillmast/core/balance';
import { evaluateCard } from '@stillmast/core/card';
import { type Card, cardSchema } from '@stillmast/formats/card';
import { readAs } from '@stillmast/formats/problem';
import { type TypeData, typeDataSchema } from '@stillmast/formats/type-data';
import { describe, expect, it } from 'vitest';
import { verifyRecordFile } from '../src/file/index.js';
import { cardFacts, cardModel, rotorJob } from '../src/judge/index.js';

/** The signed check of the invented scenario: two flights, a change between them. */
const folder = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios', 'after-gearbox-smoothing');
const report = await verifyRecordFile(readFileSync(join(folder, 'ZZ-LMA-2026-11-18.check.json')));
const state = report.state;
if (state === null) throw new Error('the signed check holds no first entry');

function document<T>(name: string, schema: Parameters<typeof readAs<T>>[0]): T {
	const read = readAs(schema, JSON.parse(readFileSync(join(folder, name), 'utf8')));
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	return read.value;
}
const typeData: TypeData = document('type.json', typeDataSchema);
const card: Card = document('card.json', cardSchema);
const main = typeData.rotors.find(({ id }) => id === 'main');
if (main === undefined) throw new Error('the type has no main rotor');

describe('rotorJob(state, rotor)', () => {
	const { problem, runs } = rotorJob(state, main);
	const given = (index: number) => problem.runs?.[index] as NonNullable<RotorProblem['runs']>[number];

	it('[JDG-1] hands on every run with the settings that stood while it was flown', () => {
		expect(runs.map(({ id }) => id)).toEqual(['1.1', '2.1']);
		expect(given(0).settings?.['plate-A']).toBe(0);
		expect(given(1).settings?.['plate-A']).toBe(3);
		expect(given(1).settings?.['link-B']).toBe(1);
		expect(Object.keys(given(1).readings)).toHaveLength(main.channels.length);
	});

	it('[JDG-2] leaves out a channel whose readings differ, and says so', () => {
		const first = state.vibrations.find(({ rotor }) => rotor === 'main');
		const differing = {
			...state,
			vibrations: state.vibrations.map((group) => (group === first ? { ...group, holds: null } : group)),
		};
		const job = rotorJob(differing, main);
		expect(job.runs[0]?.differing).toEqual([first?.channel]);
		expect(job.problem.runs?.[0]?.readings).not.toHaveProperty(first?.channel ?? '');
	});
});

describe('cardFacts(state, card, typeData)', () => {
	it('[JDG-3] finds the whole card done after the second flight, with nothing to measure again', () => {
		const standing = evaluateCard(cardModel(card, typeData), cardFacts(state, card, typeData));
		expect(standing.steps.every((step) => step.state === 'done')).toBe(true);
		expect(standing.next).toBeNull();
		expect(standing.level.level).toBe('B');
	});

	it('[JDG-4] takes the greater of two differing readings for the stop', () => {
		const [first] = state.vibrations.filter(({ rotor }) => rotor === 'main');
		if (first === undefined) throw new Error('no reading');
		const at = (amplitudeIps: number) => ({ ...(first.entries[0] as (typeof first.entries)[number]), amplitudeIps });
		const group = { ...first, flight: 3, holds: null, entries: [at(0.2), at(1.1)] };
		const { stops } = cardFacts({ ...state, vibrations: [...state.vibrations, group] }, card, typeData);
		expect(stops.map((stop) => stop.amplitudeIps)).toEqual([1.1]);
	});
});
