import { readFileSync } from 'node:fs';

/** One published example as it lies in tests/vectors: the source's figures beside those recomputed from its inputs. */
export interface VectorRow<I, E> {
	readonly id: string;
	readonly basis: string;
	readonly source: { readonly title: string; readonly author?: string; readonly location?: string };
	readonly inputs: I;
	readonly expected: E;
	/** Test title: promise, source and basis in one line. */
	readonly says: (promise: string) => string;
}

/** The row with an id from a file below tests/vectors; I and E describe what the file holds. A missing row is an error. */
export function vectorRow<I, E>(file: string, id: string): VectorRow<I, E> {
	const rows = JSON.parse(
		readFileSync(new URL(`../../../tests/vectors/${file}`, import.meta.url), 'utf8'),
	) as readonly VectorRow<I, E>[];
	const row = rows.find((candidate) => candidate.id === id);
	if (!row) throw new Error(`no vector ${id} in ${file}`);
	const source = [row.source.title, row.source.author, row.source.location].filter(Boolean).join(', ');
	return { ...row, says: (promise) => `${id}: ${promise} [${source}; basis: ${row.basis}]` };
}

/** The value of a result that must be one; the problem is the message when it isn't. */
export function okValue<T>(
	result: { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: unknown },
): T {
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
}
