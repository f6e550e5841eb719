import type { EntrySet } from '../set/entry-set.js';
import { compareText } from '../set/order.js';
import type { Waiting } from './state.js';

/**
 * What is known to exist and is not here. A gap in a chain tells whose entries and how many; a hash named by others
 * tells that there is one. @rule REC-12
 */
export function readWaiting(set: EntrySet): Waiting[] {
	const byKey = new Map<string, { count: number; named: string[] }>();
	const unknown: string[] = [];
	const owners = readGapOwners(set);
	for (const hash of set.missing.keys()) {
		const gap = owners.get(hash);
		if (gap === undefined) {
			unknown.push(hash);
			continue;
		}
		const here = byKey.get(gap.by) ?? { count: 0, named: [] };
		byKey.set(gap.by, { count: here.count + gap.count, named: [...here.named, hash].sort(compareText) });
	}
	const known: Waiting[] = [...byKey]
		.sort(([a], [b]) => compareText(a, b))
		.map(([by, { count, named }]) => ({ by, count, named }));
	if (unknown.length > 0) known.push({ by: null, count: unknown.length, named: unknown.sort(compareText) });
	return known;
}

/** For each hash that ends a gap (named as `prev`): whose chain it is, and how many entries are missing there. */
function readGapOwners(set: EntrySet): Map<string, { by: string; count: number }> {
	const owners = new Map<string, { by: string; count: number }>();
	for (const [hash, namedBy] of set.missing) {
		for (const name of namedBy) {
			const next = set.get(name);
			if (next === undefined || next.prev !== hash) continue;
			const before =
				set
					.chain(next.chain)
					.filter(({ seq }) => seq < next.seq)
					.at(-1)?.seq ?? 0;
			owners.set(hash, { by: next.by, count: Math.max(1, next.seq - before - 1) });
		}
	}
	return owners;
}
