import type { Entry, Purpose, Role } from '@stillmast/formats/entry';
import { fold, type Person } from '@stillmast/record/fold';
import type { EntrySet } from '@stillmast/record/set';
import type { PersonRow } from '../store/store.js';

/** Who belongs to a record and what it is about, as its entries say (`fold` decides). */
export interface Trust {
	readonly purpose: Purpose | null;
	readonly registration: string | null;
	/** Fingerprint of the creator's key. */
	readonly creator: string | null;
	/** Role of a key (by fingerprint); null when it has none or it was ended. */
	roleOf(key: string): Role | null;
	/** May this key enrol others? */
	isAuthority(key: string): boolean;
	isRevoked(key: string): boolean;
	people(): readonly PersonRow[];
	/** May these entries, just added, change who belongs? */
	concernedBy(fresh: readonly Entry[]): boolean;
}

const TRUST_KINDS: readonly string[] = ['opened', 'enrolled', 'revoked'];

/** Folds the whole record: asked for again only when `concernedBy` says so. */
export function trustOf(entries: EntrySet): Trust {
	const { people, opened, purpose, judged } = fold(entries);
	const stands = (person: Person | undefined): person is Person =>
		person !== undefined && person.revokedBy.length === 0;
	// An enrolment whose chain has a gap counts as soon as the gap is filled, by whatever entry.
	const waitingChains = new Set<string>();
	for (const { entry, judgement } of judged.values()) {
		if (TRUST_KINDS.includes(entry.kind) && judgement.state === 'waits') waitingChains.add(entry.chain);
	}
	const isAuthority = (key: string) => {
		const person = people.get(key);
		return stands(person) && (person.creator || person.role === 'host');
	};
	return {
		purpose,
		registration: opened?.aircraft.registration ?? null,
		creator: opened?.by ?? null,
		roleOf(key) {
			const person = people.get(key);
			return stands(person) ? person.role : null;
		},
		isAuthority,
		isRevoked: (key) => (people.get(key)?.revokedBy.length ?? 0) > 0,
		people: () =>
			[...people.values()].map((person) => ({
				key: person.key,
				role: person.role,
				name: person.name,
				revoked: !stands(person),
			})),
		// What others write about trust changes nothing, and must not make the host fold for it.
		concernedBy: (fresh) =>
			fresh.some(
				(entry) =>
					entry.kind === 'opened' ||
					(TRUST_KINDS.includes(entry.kind) && isAuthority(entry.by)) ||
					waitingChains.has(entry.chain),
			),
	};
}
