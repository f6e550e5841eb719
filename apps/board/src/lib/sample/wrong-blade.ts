import type { Problem, Result } from '@stillmast/core/result';
import { cardSchema } from '@stillmast/formats/card';
import { readJson } from '@stillmast/formats/json';
import { readAs } from '@stillmast/formats/problem';
import { readRotor } from '@stillmast/formats/rotor';
import { typeDataSchema } from '@stillmast/formats/type-data';
import cardText from '../../../../../demo-scenarios/wrong-blade/card.json?raw';
import expectedText from '../../../../../demo-scenarios/wrong-blade/expected.json?raw';
import rotorText from '../../../../../demo-scenarios/wrong-blade/rotor.json?raw';
import typeText from '../../../../../demo-scenarios/wrong-blade/type.json?raw';
import type { SampleCheck } from './sample-lines.js';

interface Expected {
	readonly registration: string;
	readonly planted: { readonly written: Readonly<Record<string, number>> };
}

/** The sample with the planted mistake, read by the same schemas as any user's documents. */
export function wrongBlade(): Result<SampleCheck, Problem> {
	const card = readText(cardText, (value) => readAs(cardSchema, value));
	if (!card.ok) return card;
	const typeData = readText(typeText, (value) => readAs(typeDataSchema, value));
	if (!typeData.ok) return typeData;
	const rotor = readText(rotorText, readRotor);
	if (!rotor.ok) return rotor;
	const { registration, planted } = JSON.parse(expectedText) as Expected;
	return {
		ok: true,
		value: {
			registration,
			card: card.value,
			typeData: typeData.value,
			documents: [cardText, typeText],
			runs: rotor.value.runs ?? [],
			written: planted.written,
		},
	};
}

function readText<T>(text: string, read: (value: unknown) => Result<T, Problem>): Result<T, Problem> {
	const json = readJson(text);
	return json.ok ? read(json.value) : json;
}
