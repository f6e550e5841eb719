import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Card, cardSchema } from '@stillmast/formats/card';
import { readAs } from '@stillmast/formats/problem';
import { readScenario, type Scenario, type ScenarioEvent } from '@stillmast/formats/scenario';
import { readTypeData, type TypeData } from '@stillmast/formats/type-data';
import { type EntrySet, fold, type RecordState, rulesOf, verifyRecordFile } from '@stillmast/record';
import { type Played, playScenario } from '@stillmast/record/scenario';
import { expect } from 'vitest';

const scenarios = join(import.meta.dirname, '..', '..', 'demo-scenarios');

export function readJson(name: string, file: string): unknown {
	return JSON.parse(readFileSync(join(scenarios, name, file), 'utf8'));
}

export function sound<T>(
	read: { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: unknown },
): T {
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	return read.value;
}

/** A shipped scenario as it was played, with the documents it names and what it expects. */
export interface PlayedScenario<Expected> {
	readonly scenario: Scenario;
	readonly card: Card;
	readonly typeData: TypeData;
	readonly expected: Expected;
	readonly played: Played;
	/** State of the record in the end. */
	readonly state: RecordState;
	/** State at a look. */
	readonly stateAt: (look: string) => RecordState;
}

/**
 * Plays `demo-scenarios/<name>` with fixed keys. That its record file verifies is looked at every time.
 * @param more events after those of the scenario
 * @param until only so many of the scenario's own events
 */
export async function playShipped<Expected>(
	name: string,
	more: readonly ScenarioEvent[] = [],
	until?: number,
): Promise<PlayedScenario<Expected>> {
	const shipped = sound(readScenario(readJson(name, 'scenario.json')));
	const scenario = { ...shipped, events: [...shipped.events.slice(0, until), ...more] };
	const documents = { card: readJson(name, scenario.card), typeData: readJson(name, scenario.typeData) };
	const card = sound(readAs(cardSchema, documents.card));
	const typeData = sound(readTypeData(documents.typeData));
	let drawn = 0;
	const random = (length: number) => Uint8Array.from({ length }, () => drawn++ % 251);
	const played = sound(await playScenario(scenario, documents, { random }));
	expect((await verifyRecordFile(played.text)).faults).toEqual([]);
	const stateOf = (set: EntrySet) => fold(set, { rules: rulesOf(typeData, card) });
	return {
		scenario,
		card,
		typeData,
		expected: readJson(name, 'expected.json') as Expected,
		played,
		state: stateOf(played.set),
		stateAt(look) {
			const set = played.looks.get(look);
			if (set === undefined) throw new Error(`${name} has no look ${look}`);
			return stateOf(set);
		},
	};
}

/** Entries that do not count and are not struck. */
export function notCounted(state: RecordState) {
	return [...state.judged.values()].filter(({ judgement }) => !['counts', 'struck'].includes(judgement.state));
}
