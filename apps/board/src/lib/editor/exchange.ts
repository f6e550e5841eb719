import { readJson } from '@stillmast/formats/json';
import { type ProvenanceDocument, placedNumbers, readProvenance } from '@stillmast/formats/provenance';
import { typeData } from '$lib/words/type-data.js';
import { documentsOf, type OwnType, revisionOf, typeName } from './own-type.js';
import { idFrom, listAt, type Tree, textAt, valueAt, withValue } from './tree.js';

/** A document as a file. */
export interface DocumentFile {
	readonly name: string;
	readonly text: string;
}

/** Type data, card and sources as the JSON documents that every part of Stillmast reads. */
export function filesOf(own: OwnType): readonly DocumentFile[] {
	const { type, card } = documentsOf(own);
	const stem = `${idFrom(typeName(own), [])}-${revisionOf(own)}`;
	const file = (name: string, document: Tree) => ({
		name: `${stem}.${name}.json`,
		text: `${JSON.stringify(document, null, '\t')}\n`,
	});
	const places = [...placedNumbers('type', type), ...placedNumbers('card', card)].map(({ place }) => place);
	return [file('type', type), file('card', card), file('sources', tidySources(own.provenance, places))];
}

/** What one file did to the draft, or why it did nothing. */
export interface TakenIn {
	readonly own: OwnType;
	readonly taken: readonly string[];
	readonly refused: readonly { readonly file: string; readonly reason: string }[];
}

/**
 * Takes documents into a draft: each replaces what was there of its kind, a chart is added. What is faulty in them is
 * shown on its page like what is typed. Invented data is refused: real data never begins as a copy of a sample.
 */
export function takenIn(own: OwnType, files: readonly DocumentFile[]): TakenIn {
	const taken: string[] = [];
	const refused: { readonly file: string; readonly reason: string }[] = [];
	let next = own;
	for (const file of files) {
		const found = withFile(next, file.text);
		if (typeof found === 'string') {
			refused.push({ file: file.name, reason: found });
		} else {
			next = found;
			taken.push(file.name);
		}
	}
	return { own: next, taken, refused };
}

function withFile(own: OwnType, text: string): OwnType | string {
	const json = readJson(text);
	if (!json.ok) return typeData.actions.notJson;
	const document = json.value;
	if (valueAt(document, ['invented']) === true) return typeData.actions.invented;
	const { type, card } = own.documents;
	switch (valueAt(document, ['format'])) {
		case 'stillmast/type@1':
			return withDocuments(own, { card, type: withValue(document, ['provenance'], undefined) });
		case 'stillmast/card@1':
			return withDocuments(own, { type, card: document });
		case 'stillmast/chart@1': {
			const id = textAt(document, ['result', 'id']);
			const charts = listAt(type, ['charts']);
			const at = charts.findIndex((chart) => textAt(chart, ['result', 'id']) === id);
			return withDocuments(own, { card, type: withValue(type, ['charts', at < 0 ? charts.length : at], document) });
		}
		case 'stillmast/provenance@1': {
			const read = readProvenance(document);
			return read.ok ? { ...own, provenance: read.value } : `${read.problem.path}: ${read.problem.needed}`;
		}
		default:
			return typeData.actions.unknownFormat;
	}
}

function withDocuments(own: OwnType, documents: OwnType['documents']): OwnType {
	return { ...own, documents };
}

/** Sources without those of numbers that are no longer there. */
function tidySources(provenance: ProvenanceDocument, places: readonly string[]): ProvenanceDocument {
	const kept = Object.entries(provenance.numbers).filter(([place]) => places.includes(place));
	return { ...provenance, numbers: Object.fromEntries(kept) };
}
