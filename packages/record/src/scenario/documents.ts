import { fail, ok, type Result } from '@stillmast/core/result';
import { cardFaults, cardSchema } from '@stillmast/formats/card';
import { type DocumentFault, readAs } from '@stillmast/formats/problem';
import type { Scenario } from '@stillmast/formats/scenario';
import { readTypeData } from '@stillmast/formats/type-data';
import { type FoldRules, rulesOf } from '../fold/rules.js';
import { canonicalJson } from '../hash/canonical-json.js';
import { hashBytes } from '../hash/hash-entry.js';

/** Card and type data that a scenario names, parsed and not yet judged. */
export interface ScenarioDocuments {
	readonly card: unknown;
	readonly typeData: unknown;
}

/** The same as a record rests on them: by hash, with the rules of its fold. */
export interface PlayedDocuments {
	readonly card: string;
	readonly typeData: string;
	readonly blobs: ReadonlyMap<string, Uint8Array>;
	readonly rules: FoldRules;
}

/**
 * Judges card and type data by the same schemas as any user's documents, and against each other.
 * @returns the first fault, its path beginning with the file that has it
 */
export function playedDocuments(
	scenario: Pick<Scenario, 'card' | 'typeData'>,
	{ card, typeData }: ScenarioDocuments,
): Result<PlayedDocuments, DocumentFault> {
	const cardRead = readAs(cardSchema, card);
	if (!cardRead.ok) return fail(inFile(scenario.card, cardRead.problem));
	const typeRead = readTypeData(typeData);
	if (!typeRead.ok) return fail(inFile(scenario.typeData, typeRead.problem));
	const [fault] = cardFaults(cardRead.value, typeRead.value);
	if (fault !== undefined) return fail(inFile(scenario.card, fault));
	const [cardBlob, typeBlob] = [blobOf(card), blobOf(typeData)];
	return ok({
		card: cardBlob[0],
		typeData: typeBlob[0],
		blobs: new Map([cardBlob, typeBlob]),
		rules: rulesOf(typeRead.value, cardRead.value),
	});
}

function inFile(file: string, fault: DocumentFault): DocumentFault {
	return { ...fault, path: `${file} ${fault.path}` };
}

function blobOf(document: unknown): readonly [string, Uint8Array] {
	const bytes = new TextEncoder().encode(canonicalJson(document));
	return [hashBytes(bytes), bytes];
}
