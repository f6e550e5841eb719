import { fill } from '$lib/words/fill.js';
import { typeData } from '$lib/words/type-data.js';
import type { DraftFault } from './draft-faults.js';
import { fieldName } from './number-name.js';
import { type Keys, type Tree, valueAt } from './tree.js';

const { fault: words } = typeData;

const neededWords: Readonly<Record<string, string>> = {
	'a number': words.number,
	'a finite number': words.number,
	'>0': words.positive,
	'>=0': words.notNegative,
	'<=1': words.share,
	'one bound': words.bound,
	'not under the lesser one': words.notUnder,
	'values that rise from one to the next': words.rising,
	'a name that stands there': words.unknown,
};

/** A fault in a sentence that names the field. */
export function faultWords(documents: Readonly<Record<string, Tree>>, one: DraftFault): string {
	const tree = documents[one.document];
	const field = fieldName(tree, keysOf(one.path));
	if (one.isMissing) return fill(words.missing, { field });
	const { found, needed } = one.fault;
	const what =
		neededWords[needed] ??
		(needed.startsWith('text of the form') || needed.startsWith('a length') ? words.short : needed);
	return fill(words.wrong, { field, found: foundWords(tree, one.path, found), needed: what });
}

function foundWords(tree: Tree, path: string, found: string): string {
	const value = valueAt(tree, keysOf(path));
	return typeof value === 'string' ? value : found;
}

/** The keys that a path names, the inverse of `childPath`. */
export function keysOf(path: string): Keys {
	const keys: (string | number)[] = [];
	for (const [, bare, index, quoted] of path.matchAll(/\.([A-Za-z_]\w*)|\[(\d+)\]|\['((?:[^'\\]|\\.)*)'\]/g)) {
		if (bare !== undefined) keys.push(bare);
		else if (index !== undefined) keys.push(Number(index));
		else if (quoted !== undefined) keys.push(quoted.replace(/\\(.)/g, '$1'));
	}
	return keys;
}
