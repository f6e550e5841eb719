import { fail, type Result } from '@stillmast/core/result';
import { childPath, type DocumentFault, readAs } from '../problem/index.js';
import { type PlacedNumber, placedNumbers } from './places.js';
import { type ProvenanceDocument, provenanceSchema } from './schema.js';

/**
 * Reads a parsed `stillmast/provenance@1` document.
 * @returns the document; or the first fault: of its shape, or a number that was compared by who typed it
 */
export function readProvenance(value: unknown): Result<ProvenanceDocument, DocumentFault> {
	const read = readAs(provenanceSchema, value);
	if (!read.ok) return read;
	for (const [place, { typedBy, checkedBy }] of Object.entries(read.value.numbers)) {
		if (checkedBy === null || !isSamePerson(typedBy, checkedBy)) continue;
		const path = childPath('$', 'numbers', place, 'checkedBy');
		return fail({ code: 'not-allowed', path, found: checkedBy, needed: `another person than ${typedBy}` });
	}
	return read;
}

/** One name written in two ways is one person; two people of one name need their names written apart. */
export function isSamePerson(one: string, other: string): boolean {
	const plain = (name: string) => name.normalize('NFC').trim().replace(/\s+/g, ' ').toLowerCase();
	return plain(one) === plain(other);
}

/** Documents of a type, by the name that begins their places. */
export type SourcedDocuments = Readonly<Record<string, unknown>>;

/** Numbers that no other person has compared with the page: without a source, changed since, or not looked at. */
export function notCompared(documents: SourcedDocuments, provenance: ProvenanceDocument): readonly PlacedNumber[] {
	return Object.entries(documents)
		.flatMap(([name, document]) => placedNumbers(name, document))
		.filter(({ place, value }) => {
			const source = Object.hasOwn(provenance.numbers, place) ? provenance.numbers[place] : undefined;
			return source === undefined || source.value !== value || source.checkedBy === null;
		});
}
