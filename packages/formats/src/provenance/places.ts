/** A number of a document and its place in it. */
export interface PlacedNumber {
	readonly place: string;
	readonly value: number;
	readonly keys: readonly (string | number)[];
}

/** What the board counts with and no document prints: how the user weighs, where blades stand, how finely a gauge reads. */
const ownChoices = new Set(['weight', 'effort', 'passAngleDeg', 'resolution']);

/**
 * Every number of a document that is read off a page, with its place. Items of a list are named by their `id`, so that a
 * place stays the same when a line above it goes; items without one by what tells them apart, else by their index.
 * @param document `type`, `card`: the place begins with it
 */
export function placedNumbers(document: string, value: unknown): readonly PlacedNumber[] {
	return numbersUnder(value, [], []).map(({ names, ...rest }) => ({
		...rest,
		place: `${document}:${names.join('/')}`,
	}));
}

/** The place of one value, which need not be a number yet. */
export function placeOf(document: string, value: unknown, keys: readonly (string | number)[]): string {
	const names: string[] = [];
	let at: unknown = value;
	for (const key of keys) {
		names.push(nameIn(at, key));
		at = child(at, key);
	}
	return `${document}:${names.join('/')}`;
}

interface Found {
	readonly names: readonly string[];
	readonly keys: readonly (string | number)[];
	readonly value: number;
}

function numbersUnder(value: unknown, names: readonly string[], keys: readonly (string | number)[]): readonly Found[] {
	if (typeof value === 'number') return [{ names, keys, value }];
	if (value === null || typeof value !== 'object') return [];
	const inner = Array.isArray(value) ? value.map((_, at) => at) : Object.keys(value);
	return inner.flatMap((key) =>
		typeof key === 'string' && ownChoices.has(key)
			? []
			: numbersUnder(child(value, key), [...names, nameIn(value, key)], [...keys, key]),
	);
}

function child(value: unknown, key: string | number): unknown {
	if (value === null || typeof value !== 'object' || !Object.hasOwn(value, key)) return undefined;
	return (value as Readonly<Record<string | number, unknown>>)[key];
}

function nameIn(list: unknown, key: string | number): string {
	if (!Array.isArray(list)) return String(key);
	const item = child(list, key);
	for (const telling of [['id'], ['channel', 'kind'], ['change'], ['family']]) {
		const parts = telling.map((name) => child(item, name));
		if (parts.every((part) => typeof part === 'string' || typeof part === 'number')) return parts.join(' ');
	}
	return String(key);
}
