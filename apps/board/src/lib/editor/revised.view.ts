import { placedNumbers } from '@stillmast/formats/provenance';
import type { TypeData } from '@stillmast/formats/type-data';
import { fill } from '$lib/words/fill.js';
import { exactText } from '$lib/words/number.js';
import { typeData as words } from '$lib/words/type-data.js';
import { fieldName } from './number-name.js';
import { type OwnType, revisionOf, typeName } from './own-type.js';
import { type Tree, textAt } from './tree.js';

/** What changed since a check was opened: its own revision against the one now in use on this device. */
export interface RevisedWords {
	readonly from: string;
	readonly numbers: readonly string[];
}

/** `null` while no other revision of the type is in use here. The check keeps counting with its own data. */
export function revisedSince(opened: TypeData, own: readonly OwnType[]): RevisedWords | null {
	const now = own.find((one) => one.standing === 'in-use' && typeName(one) === opened.type);
	if (now === undefined || revisionOf(now) === opened.revision) return null;
	return {
		from: fill(words.revised.from, { old: opened.revision, now: revisionOf(now) }),
		numbers: changedNumbers(opened, now.documents.type),
	};
}

function changedNumbers(opened: Tree, now: Tree): readonly string[] {
	const [before, after] = [byPlace(opened), byPlace(now)];
	const { number, added, gone } = words.revised;
	const there = [...before].flatMap(([place, old]) => {
		const next = after.get(place);
		if (next === undefined) return [fill(gone, { number: old.name, old: exactText(old.value) })];
		if (next.value === old.value) return [];
		return [fill(number, { number: old.name, old: exactText(old.value), now: exactText(next.value) })];
	});
	const fresh = [...after].flatMap(([place, { name, value }]) =>
		before.has(place) ? [] : [fill(added, { number: name, now: exactText(value) })],
	);
	return [...there, ...fresh];
}

function byPlace(type: Tree): ReadonlyMap<string, { readonly name: string; readonly value: number }> {
	if (textAt(type, ['format']) === '') return new Map();
	return new Map(
		placedNumbers('type', type).map(({ place, keys, value }) => [place, { name: fieldName(type, keys), value }]),
	);
}
