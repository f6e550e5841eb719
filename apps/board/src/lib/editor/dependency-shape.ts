import { typeData } from '$lib/words/type-data.js';
import { listAt, type Tree, textAt, withValue } from './tree.js';

/** Which earlier results a change leaves alone. What nobody says is spared is measured again: the careful side. */

/** Groups of results by the name that the record's rule reads: a rotor's readings, track, autorotation. */
export function spareable(type: Tree): readonly { readonly id: string; readonly name: string }[] {
	const rotors = listAt(type, ['rotors']).map((rotor) => ({
		id: textAt(rotor, ['id']),
		name: textAt(rotor, ['name']),
	}));
	const { track, autorotation } = typeData.spared;
	return [...rotors, { id: 'track', name: track }, { id: 'autorotation', name: autorotation }];
}

export function sparedBy(type: Tree, kind: string): readonly Tree[] {
	const row = listAt(type, ['dependencies']).find((one) => textAt(one, ['change']) === kind);
	return listAt(row, ['unaffected']);
}

export function withSpared(type: Tree, kind: string, id: string, isOn: boolean, reference: string): Tree {
	const rows = listAt(type, ['dependencies']);
	const at = rows.findIndex((one) => textAt(one, ['change']) === kind);
	const others = sparedBy(type, kind).filter((one) => one !== id);
	const unaffected = isOn ? [...others, id] : others;
	if (unaffected.length === 0) return at < 0 ? type : withValue(type, ['dependencies', at], undefined);
	const row = { change: kind, unaffected, reference };
	return withValue(type, ['dependencies', at < 0 ? rows.length : at], row);
}
