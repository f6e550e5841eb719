import type { Entry } from '@stillmast/formats/entry';

/** `n` = 1 + the greatest among `prev` and `seen`; judged when all of them are here, true until then. @rule REC-9 */
export function hasRightOrder(entry: Entry, set: { readonly get: (hash: string) => Entry | undefined }): boolean {
	let greatest = 0;
	for (const hash of entry.prev === null ? entry.seen : [entry.prev, ...entry.seen]) {
		const before = set.get(hash);
		if (before === undefined) return true;
		greatest = Math.max(greatest, before.n);
	}
	return entry.n === greatest + 1;
}
