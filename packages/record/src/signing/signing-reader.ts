import type { Entry, EntryOf, Kind, Role } from '@stillmast/formats/entry';
import { groupBy } from '../fold/group-by.js';
import type { Judge } from '../fold/judge.js';
import { Ordered } from '../fold/ordered.js';
import type { Judgement } from '../fold/state.js';
import type { EntrySet } from '../set/entry-set.js';
import { compareEntries } from '../set/order.js';
import { contentDigest, coveredBy, termsOf } from './content.js';
import type { Cover, SignatureState, SignedContent, Signing } from './state.js';

/** Kinds that change nothing of what was signed. */
const NEVER_AMENDS: readonly string[] = ['signature', 'enrolled', 'revoked', 'remark', 'reply'] satisfies Kind[];

/** What one signature covers, worked out once: nothing that comes later can lie in its past. */
interface CoverRead {
	readonly cover: Cover;
	readonly covered: ReadonlySet<string>;
	/** Entries that amend and are not covered. */
	readonly added: Ordered<Entry>;
}

/** Who signed what, whether it holds, and what was added since. @rule REC-71 */
export class SigningReader {
	readonly #set: EntrySet;
	readonly #judge: Judge;
	readonly #rolesAsked: readonly Role[];
	readonly #amending = new Map<string, Entry>();
	readonly #covers = new Map<string, CoverRead>();

	constructor(set: EntrySet, judge: Judge, rolesAsked: readonly Role[]) {
		this.#set = set;
		this.#judge = judge;
		this.#rolesAsked = rolesAsked;
	}

	/** Takes notice of an entry as it is judged now. */
	put(entry: Entry, judgement: Judgement): void {
		const amends = this.#amends(entry, judgement);
		if (amends) this.#amending.set(entry.hash, entry);
		else this.#amending.delete(entry.hash);
		for (const { covered, added } of this.#covers.values()) {
			if (amends && !covered.has(entry.hash)) added.set(entry);
			else added.delete(entry);
		}
	}

	/** @param signatures those that count, in total order */
	read(signatures: readonly EntryOf<'signature'>[]): Signing {
		const groups = [...groupBy(signatures, ({ content }) => content).values()];
		const contents = groups
			.map((group) => this.#readContent(group))
			.sort((a, b) => a.number - b.number || (a.content < b.content ? -1 : 1));
		const complete = contents.filter((one) => one.complete).at(-1);
		const state = stateOf(contents, complete);
		return { state, rolesAsked: this.#rolesAsked, contents, added: complete?.added ?? [] };
	}

	/** What waits or is set apart amends nothing until it counts. */
	#amends({ kind, by }: Entry, judgement: Judgement): boolean {
		if (NEVER_AMENDS.includes(kind)) return false;
		// A newer kind may amend in ways unknown here: told when it comes from somebody known.
		const newer = judgement.state === 'apart' && judgement.reason === 'newer-kind' && this.#judge.people.has(by);
		return judgement.state === 'counts' || judgement.state === 'struck' || newer;
	}

	#readContent(group: readonly EntryOf<'signature'>[]): SignedContent {
		const first = group[0] as EntryOf<'signature'>;
		const signatures = group.map((entry): SignatureState => ({ entry, cover: this.#coverOf(entry).cover }));
		const holding = signatures.filter(({ cover }) => cover === 'holds').map(({ entry }) => entry);
		// A key has one role, so different roles are different keys. The role stated must be the key's own.
		const roles = this.#rolesAsked.filter((role) =>
			holding.some((entry) => entry.role === role && this.#judge.people.get(entry.by)?.role === role),
		);
		const [speaks] = holding;
		return {
			content: first.content,
			number: first.number,
			signatures,
			roles,
			lost: (speaks ?? first).lost ?? [],
			complete: this.#rolesAsked.length > 0 && roles.length === this.#rolesAsked.length,
			added:
				speaks === undefined
					? []
					: this.#coverOf(speaks)
							.added.list()
							.map(({ hash }) => hash),
		};
	}

	#coverOf(entry: EntryOf<'signature'>): CoverRead {
		const known = this.#covers.get(entry.hash);
		if (known !== undefined) return known;
		const { entries, missing } = coveredBy(this.#set, entry.heads, entry.lost);
		const covered = new Set(entries.map(({ hash }) => hash));
		const added = new Ordered<Entry>(compareEntries);
		for (const other of this.#amending.values()) if (!covered.has(other.hash)) added.set(other);
		const fits = () => contentDigest(this.#set, termsOf(entry)) === entry.content;
		const read = { cover: missing ? 'heads-missing' : fits() ? 'holds' : 'content-differs', covered, added } as const;
		this.#covers.set(entry.hash, read);
		return read;
	}
}

function stateOf(contents: readonly SignedContent[], complete: SignedContent | undefined): Signing['state'] {
	if (complete !== undefined) return complete.added.length === 0 ? 'signed' : 'added-after-signing';
	return contents.some(({ roles }) => roles.length > 0) ? 'in-part' : 'unsigned';
}
