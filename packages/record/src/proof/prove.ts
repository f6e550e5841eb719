import type { Entry } from '@stillmast/formats/entry';
import { entryText } from '../pen/entry-text.js';
import type { EntrySet } from '../set/entry-set.js';
import { compareText } from '../set/order.js';

/**
 * Why an entry is not proved. `key-unknown`: no entry here names the public key of its `by`; it may come.
 * `signature-wrong`: neither its own signature nor that of a later entry of its chain holds.
 */
export interface Unproved {
	readonly hash: string;
	readonly reason: 'key-unknown' | 'signature-wrong';
}

export interface Proof {
	readonly proved: ReadonlySet<string>;
	readonly unproved: readonly Unproved[];
}

export interface ProveOptions {
	/** Check every signature, not one a chain. */
	readonly every?: boolean;
	/** Prove these only (entries of the set); the others are taken as proved before. */
	readonly only?: Iterable<Entry>;
}

/**
 * Proves entries of a set, whose hashes were checked when they were admitted. An entry is proved when its own signature
 * holds, or that of a later entry of its chain by the same key with every `prev` between. Checks the last signature of
 * each chain, and earlier ones only where that does not hold. @rule REC-6
 */
export async function prove(set: EntrySet, { every = false, only }: ProveOptions = {}): Promise<Proof> {
	const asked = only === undefined ? set.inOrder() : [...only];
	const open = new Map(asked.map((entry) => [entry.hash, entry]));
	const followed = new Set(asked.flatMap((entry) => before(entry)?.hash ?? []));
	const proved = new Set<string>();
	const failed = new Map<string, Unproved['reason']>();
	const ends = every ? asked : asked.filter((entry) => !followed.has(entry.hash));
	await Promise.all(ends.map(every ? checkOne : checkChain));
	const unproved = [...failed].filter(([hash]) => !proved.has(hash)).map(([hash, reason]) => ({ hash, reason }));
	return { proved, unproved: unproved.sort((a, b) => compareText(a.hash, b.hash)) };

	function before(entry: Entry): Entry | undefined {
		const earlier = open.get(entry.prev ?? '');
		return earlier !== undefined && continues(earlier, entry) ? earlier : undefined;
	}

	async function checkOne(entry: Entry): Promise<void> {
		const outcome = await check(entry);
		if (outcome === 'holds') proved.add(entry.hash);
		else failed.set(entry.hash, outcome);
	}

	/** From the end of a chain back to the first signature that holds; it proves all before it. */
	async function checkChain(end: Entry): Promise<void> {
		let entry: Entry | undefined = end;
		while (entry !== undefined && !proved.has(entry.hash)) {
			await checkOne(entry);
			if (proved.has(entry.hash)) break;
			entry = before(entry);
		}
		while (entry !== undefined) {
			proved.add(entry.hash);
			entry = before(entry);
		}
	}

	async function check(entry: Entry): Promise<'holds' | Unproved['reason']> {
		const key = await set.verifyingKeyOf(entry.by);
		if (key === undefined) return 'key-unknown';
		return (await key.verifies(entryText(entry.hash), entry.sig)) ? 'holds' : 'signature-wrong';
	}
}

/** Is `later` the next entry of the chain of `earlier`, by the same key? */
export function continues(earlier: Entry, later: Entry): boolean {
	return (
		later.prev === earlier.hash &&
		later.chain === earlier.chain &&
		later.seq === earlier.seq + 1 &&
		later.by === earlier.by
	);
}
