import { fail, ok, type Result } from '@stillmast/core/result';
import {
	type Clock,
	ENTRY_VERSION,
	type Entry,
	type EntryOf,
	type EntryProblem,
	type FieldsOf,
	fieldsProblem,
	type Kind,
	type Observed,
	type Pen,
	parseEnvelope,
	type Source,
} from '@stillmast/formats/entry';
import { toBase64url } from '../hash/base64url.js';
import { canonicalJson } from '../hash/canonical-json.js';
import { hashEntry } from '../hash/hash-entry.js';
import { entryText } from '../pen/entry-text.js';
import type { PenKey, Random } from '../pen/pen-key.js';
import { EntrySet } from '../set/entry-set.js';
import { hasRightOrder } from '../set/right-order.js';

/** Clocks of the device, for showing only. */
export interface WriterClock {
	/** ms since 1970 by the device. */
	readonly nowMs: () => number;
	/** ms since the page was loaded. */
	readonly upMs: () => number;
	/** What own pings last told of the device clock; null when nothing. */
	readonly clock: () => Clock | null;
}

export interface WriterOptions {
	readonly key: PenKey;
	readonly random: Random;
	readonly clock: WriterClock;
	readonly unlocked: Pen['unlocked'];
}

export interface Circumstances {
	/** Default `seen`. */
	readonly source?: Source;
	/** When it was so, if that was not just now. */
	readonly observed?: Observed;
}

type Last = Pick<Entry, 'hash' | 'seq' | 'n'>;

/** Most entries that one entry names in `seen`; what is left over stands in the next one. */
const SEEN_MAX = 64;
/** Half of what `n` can be: no honest record comes near it. */
const SEEN_N_MAX = 2 ** 52;

/**
 * Writes one chain: of one pen and one page load (or one passing of the pen). Entries are written one after the other
 * whatever the caller does, so that a chain has neither gap nor fork; each is in the set when the promise resolves.
 */
export class ChainWriter {
	readonly chain: string;
	readonly key: PenKey;
	readonly #set: EntrySet;
	readonly #options: WriterOptions;
	#last: Last | null = null;
	#writing: Promise<unknown> = Promise.resolve();

	/** @param last the `opened` entry when this chain has just opened the record, else leave out */
	constructor(set: EntrySet, options: WriterOptions, last?: Entry) {
		this.#set = set;
		this.#options = options;
		this.#last = last ?? null;
		this.key = options.key;
		this.chain = last?.chain ?? newChain(options.random);
	}

	/**
	 * Signs an entry and adds it to the set. Keeping and sending it is the caller's.
	 * @returns the entry; `wrong-fields` or a size problem, and then nothing was written and no seq was used
	 */
	write<K extends Kind>(
		kind: K,
		fields: FieldsOf<K>,
		circumstances: Circumstances = {},
	): Promise<Result<EntryOf<K>, EntryProblem>> {
		const written = this.#writing.then(() => this.#write(kind, fields, circumstances));
		// The next one waits for this one, whether or not it could be signed.
		this.#writing = written.catch(() => undefined);
		return written;
	}

	async #write<K extends Kind>(
		kind: K,
		fields: FieldsOf<K>,
		circumstances: Circumstances,
	): Promise<Result<EntryOf<K>, EntryProblem>> {
		const last = this.#last;
		const pen = last === null ? this.#pen() : undefined;
		const seen = this.#seen(last);
		const before = Math.max(last?.n ?? 0, ...seen.map((hash) => this.#set.get(hash)?.n ?? 0));
		const entry = await signEntry(this.#options, kind, fields, circumstances, {
			record: this.#set.record,
			chain: this.chain,
			seq: (last?.seq ?? 0) + 1,
			n: before + 1,
			prev: last?.hash ?? null,
			seen,
			...(pen === undefined ? {} : { pen }),
		});
		if (!entry.ok) return entry;
		this.#last = entry.value;
		this.#set.add(entry.value);
		return ok(entry.value as unknown as EntryOf<K>);
	}

	#pen(): Pen {
		const { key, unlocked } = this.#options;
		const own = this.#set
			.heads()
			.flatMap(({ hash }) => this.#set.get(hash) ?? [])
			.filter(({ by }) => by === key.fingerprint);
		const heads = this.#set.causality
			.latest(own)
			.map(({ hash }) => hash)
			.sort();
		return { publicKey: key.publicKey, heads: heads.slice(0, SEEN_MAX), keeping: key.keeping, unlocked };
	}

	/**
	 * All that nobody has named yet, but what this entry names as `prev`; the pen's own earlier chains too, so that a
	 * page loaded again goes on counting where it stopped. An entry whose `n` is wrong is left out: one that claims the
	 * greatest number there is would leave none for whoever comes after it.
	 */
	#seen(last: Last | null): string[] {
		return this.#set
			.frontier()
			.filter(({ hash }) => hash !== last?.hash)
			.filter((entry) => entry.n <= SEEN_N_MAX && hasRightOrder(entry, this.#set))
			.sort((a, b) => a.n - b.n)
			.slice(0, SEEN_MAX)
			.map(({ hash }) => hash)
			.sort();
	}
}

/** Opens a record: writes its first entry, and makes the set and the writer that go on from there. */
export async function openRecord(
	options: WriterOptions,
	fields: Omit<FieldsOf<'opened'>, 'nonce'>,
): Promise<Result<{ set: EntrySet; writer: ChainWriter; opened: EntryOf<'opened'> }, EntryProblem>> {
	const { key, unlocked, random } = options;
	const pen: Pen = { publicKey: key.publicKey, heads: [], keeping: key.keeping, unlocked };
	const withNonce = { ...fields, nonce: toBase64url(random(32)) } satisfies FieldsOf<'opened'>;
	const entry = await signEntry(
		options,
		'opened',
		withNonce,
		{},
		{
			record: null,
			chain: newChain(random),
			seq: 1,
			n: 1,
			prev: null,
			seen: [],
			pen,
		},
	);
	if (!entry.ok) return entry;
	const set = new EntrySet(entry.value.hash, [entry.value]);
	const writer = new ChainWriter(set, options, entry.value);
	return ok({ set, writer, opened: entry.value as unknown as EntryOf<'opened'> });
}

type Links = Pick<Entry, 'record' | 'chain' | 'seq' | 'n' | 'prev' | 'seen' | 'pen'>;

async function signEntry<K extends Kind>(
	{ key, clock }: WriterOptions,
	kind: K,
	fields: FieldsOf<K>,
	{ source = 'seen', observed }: Circumstances,
	links: Links,
): Promise<Result<Entry, EntryProblem>> {
	const problem = fieldsProblem(kind, fields);
	if (problem !== null) return fail(problem);
	// Takes away what JSON cannot tell apart or hold: −0, and members that are there but undefined.
	const plain = JSON.parse(JSON.stringify(fields)) as FieldsOf<K>;
	const content = {
		...plain,
		...links,
		v: ENTRY_VERSION,
		at: new Date(clock.nowMs()).toISOString(),
		up: clock.upMs(),
		clock: clock.clock(),
		observed: observed ?? null,
		source,
		by: key.fingerprint,
		kind,
	} as unknown as Entry;
	// A placeholder of the right shape stands for the signature, so that size and shape are judged before the key works.
	const unsigned = parseEnvelope({ ...content, hash: links.prev ?? key.fingerprint, sig: 'A'.repeat(86) });
	if (!unsigned.ok) return unsigned;
	const hash = hashEntry(content);
	const entry = { ...content, hash, sig: await key.sign(entryText(hash)) };
	// In the order of its canonical form, which it then keeps on every way, so that hashing it is cheap everywhere.
	return ok(JSON.parse(canonicalJson(entry)) as Entry);
}

function newChain(random: Random): string {
	return toBase64url(random(8));
}
