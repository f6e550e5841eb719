import { type PlacedNumber, type ProvenanceDocument, placedNumbers } from '@stillmast/formats/provenance';
import { fill } from '$lib/words/fill.js';
import { exactText } from '$lib/words/number.js';
import { typeData } from '$lib/words/type-data.js';
import { fieldName, unitOf } from './number-name.js';
import type { OwnType } from './own-type.js';
import { type Tree, textAt, valueAt } from './tree.js';

/** One number to hold against its page; the same setting of every blade is one number. */
export interface CompareRow {
	readonly places: readonly string[];
	readonly name: string;
	readonly value: string;
	readonly source: string;
	readonly state: 'compared' | 'not-compared' | 'changed' | 'no-source';
}

export function compareRows(own: OwnType): readonly CompareRow[] {
	const rows = new Map<string, CompareRow>();
	for (const document of ['type', 'card'] as const) {
		const tree = own.documents[document];
		for (const number of placedNumbers(document, tree)) {
			const row = rowOf(own.provenance, tree, number);
			const key = `${row.name} ${row.value} ${row.source} ${row.state}`;
			const same = rows.get(key);
			rows.set(key, same === undefined ? row : { ...same, places: [...same.places, ...row.places] });
		}
	}
	return [...rows.values()];
}

function rowOf(provenance: ProvenanceDocument, tree: Tree, { place, keys, value }: PlacedNumber): CompareRow {
	const source = provenance.numbers[place];
	const unit = unitOf(tree, keys);
	return {
		places: [place],
		name: nameOfAll(tree, keys),
		value: `${exactText(value)}${unit === '' || unit === '\u00b0' ? unit : ` ${unit}`}`,
		source: source === undefined ? '' : sourceWords(source),
		state: stateOf(source, value),
	};
}

export function sourceWords(source: ProvenanceDocument['numbers'][string]): string {
	const { document, revision, page, typedBy } = source;
	return fill(typeData.source.words, { document, revision, page, person: typedBy });
}

function stateOf(source: ProvenanceDocument['numbers'][string] | undefined, value: number): CompareRow['state'] {
	if (source === undefined) return 'no-source';
	if (source.checkedBy === null) return 'not-compared';
	return source.value === value ? 'compared' : 'changed';
}

/** A setting's name without its blade. */
function nameOfAll(tree: Tree, keys: PlacedNumber['keys']): string {
	if (keys[2] !== 'adjusters') return fieldName(tree, keys);
	const kind = textAt(tree, [...keys.slice(0, 4), 'kind']);
	const rotor = textAt(valueAt(tree, keys.slice(0, 2)), ['name']);
	return `${rotor}, ${kind}: ${fieldName(tree, keys.slice(-1))}`;
}
