import { readFile } from 'node:fs/promises';
import type { RotorProblem } from '@stillmast/core/balance';
import { ok, type Result } from '@stillmast/core/result';
import { cardSchema } from '@stillmast/formats/card';
import { readAs } from '@stillmast/formats/problem';
import { readRotor } from '@stillmast/formats/rotor';
import { type TypeData, typeDataSchema } from '@stillmast/formats/type-data';
import { parseDocument } from '../../document/read-file.js';

/** The invented flight after a gearbox change: card and type data as documents, and the first run's readings. */
export interface DemoScenario {
	readonly card: unknown;
	readonly typeData: TypeData;
	readonly rotor: RotorProblem;
}

const folder = new URL('../../../../../demo-scenarios/after-gearbox-smoothing/', import.meta.url);

/** Reads the scenario from the repository, by the same schemas as any user's documents. */
export async function readDemoScenario(): Promise<Result<DemoScenario>> {
	const [card, typeData, rotor] = await Promise.all(['card.json', 'type.json', 'rotor.json'].map(parsed));
	if (!card?.ok) return card as Result<never>;
	if (!typeData?.ok) return typeData as Result<never>;
	if (!rotor?.ok) return rotor as Result<never>;
	const cardRead = readAs(cardSchema, card.value);
	if (!cardRead.ok) return cardRead;
	const typeRead = readAs(typeDataSchema, typeData.value);
	if (!typeRead.ok) return typeRead;
	const rotorRead = readRotor(rotor.value);
	if (!rotorRead.ok) return rotorRead;
	return ok({ card: card.value, typeData: typeRead.value, rotor: rotorRead.value });
}

async function parsed(name: string): Promise<Result<unknown>> {
	return parseDocument(await readFile(new URL(name, folder)));
}
