import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { evaluateCard } from '@stillmast/core/card';
import { type Card, cardSchema } from '@stillmast/formats/card';
import { readAs } from '@stillmast/formats/problem';
import { type TypeData, typeDataSchema } from '@stillmast/formats/type-data';
import { describe, expect, it } from 'vitest';
import { fold } from '../src/index.js';
import { cardFacts, cardModel, saidOfSteps, shortCardContext } from '../src/judge/index.js';
import { crew, type Hand } from './world/people.js';

const folder = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios', 'after-gearbox-smoothing');
function document<T>(name: string, schema: Parameters<typeof readAs<T>>[0]): T {
	const read = readAs(schema, JSON.parse(readFileSync(join(folder, name), 'utf8')));
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	return read.value;
}
const card: Card = document('card.json', cardSchema);
const typeData: TypeData = document('type.json', typeDataSchema);
const ids = card.steps.map(({ id }) => id);

async function open(pilot: Hand, flight: number, steps?: readonly string[]): Promise<void> {
	await pilot.write('flight', { flight, state: 'opened' });
	if (steps !== undefined) await pilot.write('run', shortCardContext(flight, 1, steps));
	await pilot.write('run', { flight, run: 1, state: 'begun', regime: null });
}

async function write(pilot: Hand, flight: number, steps: readonly string[], state: 'done' | 'later' = 'done') {
	for (const step of steps)
		await pilot.write('step', { flight, step, state, reason: state === 'later' ? 'cloud' : '' });
}

describe('a flight with a short card', () => {
	const standing = (pilot: Hand) => {
		const state = fold(pilot.set);
		return evaluateCard(cardModel(card, typeData), cardFacts(state, card, typeData));
	};

	it('[CRD-13] [CRD-14] flies what a stopped flight put off, and the card is whole afterwards', async () => {
		const { pilot } = await crew();
		await open(pilot, 1);
		await write(pilot, 1, ids.slice(0, 3));
		await write(pilot, 1, ids.slice(3, 4), 'later');
		await pilot.write('stopped', { flight: 1, step: ids[4] ?? null, reason: 'fog' });
		await pilot.write('flight', { flight: 1, state: 'closed' });
		const left = ids.slice(3);
		expect(standing(pilot).shortCard).toEqual(left);
		expect(
			standing(pilot)
				.steps.slice(3)
				.map(({ reason }) => reason),
		).toEqual(['cloud', ...left.slice(1).map(() => 'fog')]);

		await open(pilot, 2, left);
		expect(standing(pilot).next).toBe(left[0]);
		// the others were done in flight 1, and still are
		expect(
			standing(pilot)
				.steps.slice(0, 3)
				.map(({ state }) => state),
		).toEqual(['done', 'done', 'done']);
		await write(pilot, 2, left);
		expect(standing(pilot).next).toBeNull();
		await pilot.write('flight', { flight: 2, state: 'closed' });
		expect(standing(pilot).steps.every(({ state }) => state === 'done')).toBe(true);
		expect(standing(pilot).shortCard).toEqual([]);
	});

	it('[CRD-13] a flight with the whole card begins anew', async () => {
		const { pilot } = await crew();
		await open(pilot, 1);
		await write(pilot, 1, ids);
		await pilot.write('flight', { flight: 1, state: 'closed' });
		await open(pilot, 2);
		expect(saidOfSteps(fold(pilot.set), card).size).toBe(0);
		expect(standing(pilot).next).toBe(ids[0]);
	});
});
