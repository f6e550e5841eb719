import type { Entry, KnownEntry } from '@stillmast/formats/entry';
import type { EntrySet } from '../set/entry-set.js';
import { SigningReader } from '../signing/signing-reader.js';
import { Judge } from './judge.js';
import { JudgedEntries } from './judged-entries.js';
import { bareRules, type FoldRules } from './rules.js';
import type { RecordState } from './state.js';
import { StateParts } from './state-parts.js';
import { readWaiting } from './waiting.js';

export interface FoldOptions {
	/** From the type's data and the card (`rulesOfRecord`); without, `bareRules`. */
	readonly rules?: FoldRules;
	/** Hashes that `prove` could not prove: kept, set apart. */
	readonly unproved?: ReadonlySet<string>;
}

/** Everything that was worked out from the entries so far. */
interface Work {
	readonly judge: Judge;
	readonly parts: StateParts;
	readonly signing: SigningReader;
	/** How many entries of the set it rests on. */
	size: number;
}

/**
 * The same state kept up as entries come: `state()` is what `fold` would give, at the cost of what is new. Where
 * judgements made before rest on what has come (a gap filled, a fork, a key's standing), everything is folded anew.
 */
export class Folding {
	readonly #set: EntrySet;
	readonly #rules: FoldRules;
	readonly #unproved: ReadonlySet<string>;
	#work: Work | null = null;
	#missing: ReadonlySet<string> = new Set();
	#forks = 0;
	#state: RecordState | null = null;

	constructor(set: EntrySet, { rules = bareRules, unproved = new Set() }: FoldOptions = {}) {
		this.#set = set;
		this.#rules = rules;
		this.#unproved = unproved;
	}

	/** The newest state; the same object while nothing has come. */
	state(): RecordState {
		const fresh = this.#work === null ? [] : this.#set.arrivedSince(this.#work.size);
		if (this.#state !== null && fresh.length === 0) return this.#state;
		const work = this.#work !== null && !this.#mustStartAnew(this.#work, fresh) ? this.#work : this.#startAnew();
		this.#work = work;
		if (work.size < this.#set.size) this.#goOn(work, fresh);
		this.#missing = new Set(this.#set.missing.keys());
		this.#forks = this.#set.alarms().length;
		this.#state = this.#read(work);
		return this.#state;
	}

	#mustStartAnew({ judge }: Work, fresh: readonly Entry[]): boolean {
		return (
			this.#set.alarms().length !== this.#forks ||
			fresh.some(({ hash }) => this.#missing.has(hash)) ||
			judge.rests(fresh)
		);
	}

	#startAnew(): Work {
		const judge = new Judge(this.#set, this.#unproved);
		const parts = new StateParts(this.#set, this.#rules);
		const signing = new SigningReader(this.#set, judge, this.#rules.rolesAsked);
		const work = { judge, parts, signing, size: this.#set.size };
		for (const entry of this.#set.inOrder()) this.#put(work, entry);
		return work;
	}

	#goOn(work: Work, fresh: readonly Entry[]): void {
		work.size = this.#set.size;
		for (const hash of work.judge.judgeMore(fresh)) {
			const entry = this.#set.get(hash);
			if (entry !== undefined) this.#put(work, entry);
		}
	}

	#put({ judge, parts, signing }: Work, entry: Entry): void {
		const judgement = judge.judgementOf(entry.hash);
		const counts = judgement.state === 'counts';
		// Wrong fields and newer kinds never counted, so only known entries are taken in or out.
		if (counts || judgement.state === 'struck') parts.put(entry as unknown as KnownEntry, counts);
		signing.put(entry, judgement);
	}

	#read({ judge, parts, signing, size }: Work): RecordState {
		parts.refresh();
		const view = parts.view();
		// Not spread: that would put together every list.
		return Object.assign(view, {
			record: this.#set.record,
			opened: judge.opened,
			purpose: judge.opened?.purpose ?? null,
			people: judge.people,
			judged: new JudgedEntries(this.#set, judge, size),
			alarms: this.#set.alarms(),
			waiting: readWaiting(this.#set),
			signing: signing.read(view.of.signature),
		});
	}
}
