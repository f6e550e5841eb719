/** A document while it is typed: JSON in which a wrong number still stands as the text that was typed. */
export type Tree = unknown;
export type Keys = readonly (string | number)[];

export function valueAt(tree: Tree, keys: Keys): unknown {
	return keys.reduce<unknown>((at, key) => child(at, key), tree);
}

/** The list at a place; empty when there is none. */
export function listAt(tree: Tree, keys: Keys): readonly Tree[] {
	const found = valueAt(tree, keys);
	return Array.isArray(found) ? found : [];
}

export function textAt(tree: Tree, keys: Keys): string {
	const found = valueAt(tree, keys);
	return typeof found === 'string' ? found : '';
}

/** A copy with one value put in its place; `undefined` takes a field or an item of a list away. */
export function withValue(tree: Tree, keys: Keys, value: unknown): Tree {
	const [key, ...rest] = keys;
	if (key === undefined) return value;
	const inner = withValue(child(tree, key), rest, value);
	if (typeof key === 'number') {
		const list = Array.isArray(tree) ? tree : [];
		if (inner === undefined) return list.filter((_, at) => at !== key);
		return key < list.length ? list.map((item, at) => (at === key ? inner : item)) : [...list, inner];
	}
	const object = tree !== null && typeof tree === 'object' ? (tree as Readonly<Record<string, unknown>>) : {};
	if (inner !== undefined) return { ...object, [key]: inner };
	const { [key]: _gone, ...kept } = object;
	return kept;
}

/** A name for files made of words: "torque, above 40 kt" becomes `torque-above-40-kt`; numbered when it is taken. */
export function idFrom(words: string, taken: readonly string[]): string {
	const plain =
		words
			.normalize('NFKD')
			.replace(/\p{Diacritic}/gu, '')
			.toLowerCase()
			.replace(/[^a-z0-9.]+/g, '-')
			.replace(/^[-.]+|[-.]+$/g, '')
			.slice(0, 48) || 'item';
	let id = plain;
	for (let count = 2; taken.includes(id); count += 1) id = `${plain}-${count}`;
	return id;
}

function child(tree: unknown, key: string | number): unknown {
	if (tree === null || typeof tree !== 'object' || !Object.hasOwn(tree, key)) return undefined;
	return (tree as Readonly<Record<string | number, unknown>>)[key];
}
