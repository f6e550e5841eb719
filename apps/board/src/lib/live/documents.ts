import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { type Card, cardSchema } from '@stillmast/formats/card';
import { readJson } from '@stillmast/formats/json';
import { readAs } from '@stillmast/formats/problem';
import { type TypeData, typeDataSchema } from '@stillmast/formats/type-data';

/** What a check was opened with. */
export interface CheckDocuments {
	readonly card: Card;
	readonly typeData: TypeData;
}

/** Reads card and type data named by an `opened` entry. Problems: `card-not-here`, `type-data-not-here`, or the reader's. */
export async function readDocuments(
	opened: { readonly card: string; readonly typeData: string },
	blob: (hash: string) => Promise<Uint8Array | null>,
): Promise<Result<CheckDocuments, Problem>> {
	const card = await readDocument(await blob(opened.card), 'card-not-here', (value) => readAs(cardSchema, value));
	if (!card.ok) return card;
	const typeData = await readDocument(await blob(opened.typeData), 'type-data-not-here', (value) =>
		readAs(typeDataSchema, value),
	);
	return typeData.ok ? ok({ card: card.value, typeData: typeData.value }) : typeData;
}

function readDocument<T>(
	bytes: Uint8Array | null,
	absent: string,
	read: (value: unknown) => Result<T, Problem>,
): Result<T, Problem> {
	if (bytes === null) return fail({ code: absent });
	const json = readJson(new TextDecoder().decode(bytes));
	return json.ok ? read(json.value) : json;
}
