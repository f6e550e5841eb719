import { type Entry, type EntryOf, type Kind, type KnownEntry, kinds } from '@stillmast/formats/entry';
import type { EntrySet } from '../set/entry-set.js';
import { compareEntries, compareText } from '../set/order.js';
import { type FlightEntry, readFlight } from './flights.js';
import { type LimitEntry, readLimit } from './limits.js';
import { readMeasureAgain } from './measure-again.js';
import { Ordered, OrderedMap } from './ordered.js';
import { idOf, nameOf, type PartKey, partOf } from './part-keys.js';
import { Presence } from './presence.js';
import { readReading, readVibration } from './readings.js';
import { type RotorRead, readRotor } from './rotors.js';
import type { FoldRules } from './rules.js';
import { namedBy, Settler } from './settler.js';
import type { FlightState, LimitEvidence, ReadingGroup, RecordState, Settled, VibrationGroup } from './state.js';

type Lists = RecordState['of'];

/**
 * The state's parts, each kept up by itself: an entry that counts, or counts no longer, touches its own part and those
 * it speaks about, and only these are read anew.
 */
export class StateParts {
	readonly #set: EntrySet;
	readonly #rules: FoldRules;
	readonly #settler: Settler;
	readonly #presence = new Presence();
	readonly #counted = new Set<string>();
	readonly #lists = Object.fromEntries(kinds.map((kind) => [kind, orderedEntries()])) as Record<
		Kind,
		Ordered<KnownEntry>
	>;
	readonly #entries = new Map<PartKey, Ordered<KnownEntry>>();
	readonly #replacedBy = new Map<string, Set<string>>();
	readonly #touched = new Set<PartKey>();
	readonly #differ = new Map<PartKey, readonly Settled<Kind>[]>();
	/** What is to be agreed, by the part that it stands in. */
	readonly #openIn = new Map<Settled<Kind>, PartKey>();
	readonly #open = new Ordered<Settled<Kind>>(
		(a, b) =>
			compareEntries(firstOf(a), firstOf(b)) || compareText(this.#openIn.get(a) ?? '', this.#openIn.get(b) ?? ''),
	);
	readonly #readings = new Ordered<ReadingGroup>(
		(a, b) => a.flight - b.flight || (a.run ?? 0) - (b.run ?? 0) || compareText(a.subject, b.subject),
	);
	readonly #vibrations = new Ordered<VibrationGroup>(
		(a, b) =>
			a.flight - b.flight || a.run - b.run || compareText(a.rotor, b.rotor) || compareText(a.channel, b.channel),
	);
	readonly #groups = new Map<PartKey, ReadingGroup | VibrationGroup>();
	readonly #flights = new OrderedMap<FlightState>();
	readonly #limits = new OrderedMap<LimitEvidence>();
	readonly #header = new OrderedMap<Settled<'header'>>();
	readonly #reviews = new OrderedMap<Settled<'review'>>();
	readonly #rotors = new OrderedMap<RotorRead>();
	readonly #narratives = new OrderedMap<readonly EntryOf<'narrative'>[]>();
	readonly #replies = new OrderedMap<readonly EntryOf<'reply'>[]>();

	constructor(set: EntrySet, rules: FoldRules) {
		this.#set = set;
		this.#rules = rules;
		this.#settler = new Settler(set);
	}

	/** Takes an entry in, or out, as it counts now. */
	put(entry: KnownEntry, counts: boolean): void {
		if (this.#counted.has(entry.hash) === counts) return;
		if (counts) this.#counted.add(entry.hash);
		else this.#counted.delete(entry.hash);
		place(this.#lists[entry.kind], entry, counts);
		const part = partOf(entry, this.#set);
		if (part !== null) {
			const entries = this.#entries.get(part) ?? orderedEntries();
			this.#entries.set(part, entries);
			place(entries, entry, counts);
			this.#touched.add(part);
		}
		const flight = this.#presence.add(entry, counts ? 1 : -1);
		if (flight !== null) this.#touched.add(`flight ${flight}`);
		this.#speakAbout(entry, counts);
	}

	/** What this entry says about others touches their parts. */
	#speakAbout(entry: KnownEntry, counts: boolean): void {
		if (entry.kind === 'agree') {
			if (counts) this.#settler.addAgree(entry);
			else this.#settler.removeAgree(entry);
			for (const hash of namedBy(entry)) this.#touchPartOf(hash);
		}
		if (entry.kind !== 'narrative') return;
		for (const hash of entry.replaces) {
			const by = this.#replacedBy.get(hash) ?? new Set();
			if (counts) by.add(entry.hash);
			else by.delete(entry.hash);
			this.#replacedBy.set(hash, by);
			this.#touchPartOf(hash);
		}
	}

	#touchPartOf(hash: string): void {
		const entry = this.#counted.has(hash) ? this.#set.get(hash) : undefined;
		const part = entry === undefined ? null : partOf(entry as unknown as KnownEntry, this.#set);
		if (part !== null) this.#touched.add(part);
	}

	/** Reads anew what was touched. */
	refresh(): void {
		for (const part of this.#touched) this.#read(part, this.#entries.get(part)?.list() ?? []);
		this.#touched.clear();
	}

	#read(part: PartKey, entries: readonly KnownEntry[]): void {
		const id = idOf(part);
		const settler = this.#settler;
		switch (nameOf(part)) {
			case 'reading':
				this.#putGroup(part, entries, this.#readings, (list: readonly EntryOf<'reading'>[]) =>
					readReading(list, this.#rules, settler),
				);
				break;
			case 'vibration':
				this.#putGroup(part, entries, this.#vibrations, (list: readonly EntryOf<'vibration'>[]) =>
					readVibration(list, this.#rules, settler),
				);
				break;
			case 'flight':
				this.#readFlight(part, entries as readonly FlightEntry[]);
				break;
			case 'header': {
				const list = entries as readonly EntryOf<'header'>[];
				this.#putSettled(part, this.#header, list, () => settler.statement<'header'>(list, ['value', 'unit']));
				break;
			}
			case 'review': {
				const list = entries as readonly EntryOf<'review'>[];
				this.#putSettled(part, this.#reviews, list, () => settler.statement<'review'>(list, ['state']));
				break;
			}
			case 'limit':
				put(this.#limits, id, entries, (list: readonly LimitEntry[]) => readLimit(list, settler));
				break;
			case 'rotor':
				this.#readRotor(part, entries);
				break;
			case 'narrative': {
				// A narrative stands until one that names it stands in its place. @rule REC-53
				const standing = entries.filter(({ hash }) => (this.#replacedBy.get(hash)?.size ?? 0) === 0);
				put(this.#narratives, id, standing, (list: readonly EntryOf<'narrative'>[]) => list);
				break;
			}
			case 'reply':
				put(this.#replies, id, entries, (list: readonly EntryOf<'reply'>[]) => list);
		}
	}

	#putGroup<K extends 'reading' | 'vibration', G extends ReadingGroup | VibrationGroup>(
		part: PartKey,
		entries: readonly KnownEntry[],
		groups: Ordered<G>,
		read: (entries: readonly EntryOf<K>[]) => G,
	): void {
		const before = this.#groups.get(part);
		if (entries.length === 0) {
			if (before !== undefined) groups.delete(before as G);
			this.#groups.delete(part);
			this.#setDiffer(part, []);
			return;
		}
		const group = read(entries as unknown as readonly EntryOf<K>[]);
		this.#groups.set(part, group);
		groups.set(group);
		this.#setDiffer(part, [group]);
	}

	#putSettled<K extends Kind>(
		part: PartKey,
		map: OrderedMap<Settled<K>>,
		entries: readonly EntryOf<K>[],
		read: () => Settled<K>,
	): void {
		if (entries.length === 0) map.delete(idOf(part));
		else map.set(idOf(part), read());
		const settled = map.get(idOf(part));
		this.#setDiffer(part, settled === undefined ? [] : [settled as unknown as Settled<Kind>]);
	}

	#readFlight(part: PartKey, entries: readonly FlightEntry[]): void {
		const flight = Number(idOf(part));
		if (!this.#presence.hasFlight(flight)) {
			this.#flights.delete(part);
			this.#setDiffer(part, []);
			return;
		}
		const state = readFlight(flight, entries, this.#presence.runsOf(flight), this.#settler);
		this.#flights.set(part, state);
		const contexts = state.runs.flatMap((run) => [...run.contexts.values()]);
		const settled = [state.opened, state.closed, ...state.steps.values(), ...contexts];
		this.#setDiffer(
			part,
			settled.flatMap((one) => one ?? []),
		);
	}

	#readRotor(part: PartKey, entries: readonly KnownEntry[]): void {
		const adjustments = entries.filter((one) => one.kind === 'adjustment');
		const inspections = entries.filter((one) => one.kind === 'inspection');
		const rotor = idOf(part);
		put(this.#rotors, rotor, adjustments, () => readRotor(rotor, adjustments, inspections, this.#rules, this.#settler));
		this.#setDiffer(part, this.#rotors.get(rotor)?.unsettled ?? []);
	}

	#setDiffer(part: PartKey, settled: readonly Settled<Kind>[]): void {
		for (const open of this.#differ.get(part) ?? []) {
			this.#open.delete(open);
			this.#openIn.delete(open);
		}
		const differ = settled.filter(({ state }) => state === 'differ');
		for (const open of differ) {
			this.#openIn.set(open, part);
			this.#open.set(open);
		}
		if (differ.length === 0) this.#differ.delete(part);
		else this.#differ.set(part, differ);
	}

	/**
	 * The parts as the state shows them; what was not touched is the same object as before. Long lists are put together
	 * when they are asked for, so that keeping the state up costs the same in a record of any length.
	 */
	view() {
		const rotors = this.#rotors.view();
		const changes = [...rotors.values()].flatMap((one) => one.changes);
		const readings = this.#readings.snapshot();
		const vibrations = this.#vibrations.snapshot();
		const open = this.#open.snapshot();
		return {
			of: this.#viewLists(),
			header: this.#header.view(),
			flights: [...this.#flights.values()].sort((a, b) => a.flight - b.flight),
			get readings() {
				return readings.items;
			},
			get vibrations() {
				return vibrations.items;
			},
			rotors: new Map([...rotors].map(([id, { state }]) => [id, state])),
			measureAgain: readMeasureAgain(changes, this.#presence.lastFlights(), this.#rules),
			limits: [...this.#limits.values()].sort((a, b) => a.flight - b.flight || compareText(a.parameter, b.parameter)),
			narratives: this.#narratives.view(),
			replies: this.#replies.view(),
			reviews: this.#reviews.view(),
			get toAgree() {
				return open.items;
			},
		} satisfies Partial<RecordState>;
	}

	#viewLists(): Lists {
		const of = {};
		for (const kind of kinds) {
			const list = this.#lists[kind].snapshot();
			Object.defineProperty(of, kind, { enumerable: true, get: () => list.items });
		}
		return of as Lists;
	}
}

function firstOf({ entries }: Settled<Kind>): Entry {
	return entries[0] as unknown as Entry;
}

function orderedEntries(): Ordered<KnownEntry> {
	return new Ordered((a, b) => compareEntries(a as unknown as Entry, b as unknown as Entry));
}

function place(list: Ordered<KnownEntry>, entry: KnownEntry, counts: boolean): void {
	if (counts) list.set(entry);
	else list.delete(entry);
}

function put<E extends KnownEntry, T>(
	map: OrderedMap<T>,
	key: string,
	entries: readonly KnownEntry[],
	read: (entries: readonly E[]) => T,
): void {
	if (entries.length === 0) map.delete(key);
	else map.set(key, read(entries as readonly E[]));
}
