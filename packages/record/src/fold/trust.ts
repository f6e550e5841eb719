import type { Entry, EntryOf, Role } from '@stillmast/formats/entry';
import { fingerprint } from '../hash/hash-entry.js';
import type { EntrySet } from '../set/entry-set.js';
import type { Person } from './state.js';

/** Sound, proved entries of whole chains, in total order: all that trust may rest on. */
export interface TrustEntries {
	readonly opened: EntryOf<'opened'> | null;
	readonly enrolled: readonly EntryOf<'enrolled'>[];
	readonly revoked: readonly EntryOf<'revoked'>[];
}

export interface Trust {
	readonly people: ReadonlyMap<string, Person>;
	/** May this entry count, as far as its key goes? */
	readonly standing: (entry: Pick<Entry, 'hash' | 'by'>) => 'stands' | 'not-enrolled' | 'revoked';
}

/**
 * Who is who. The creator stands by `opened`; an authority (the creator, or a key enrolled as host) enrols others,
 * wherever in the record its entries lie; a key has the first role it was given, in total order. A revoked key's
 * entries stand as far as the revocations' heads reach. Where authorities revoke each other, the host's word goes
 * before the creator's, whose device is the one that gets lost; then total order. @rule REC-30
 */
export function readTrust(set: EntrySet, { opened, enrolled, revoked }: TrustEntries): Trust {
	if (opened === null) return { people: new Map(), standing: () => 'not-enrolled' };
	const ever = enrol(() => true);
	const revocations = acceptRevocations();
	const people = enrol((entry) => reaches(entry));
	for (const { hash, key } of revocations.accepted) {
		const person = people.get(key);
		if (person !== undefined) people.set(key, { ...person, revokedBy: [...person.revokedBy, hash] });
	}
	return {
		people,
		standing(entry) {
			if (entry.hash === opened.hash) return 'stands';
			if (!people.has(entry.by)) return 'not-enrolled';
			return reaches(entry) ? 'stands' : 'revoked';
		},
	};

	function reaches({ hash, by }: Pick<Entry, 'hash' | 'by'>): boolean {
		return hash === opened?.hash || (revocations.reach.get(by)?.has(hash) ?? true);
	}

	function enrol(stands: (entry: Pick<Entry, 'hash' | 'by'>) => boolean): Map<string, Person> {
		const found = new Map<string, Person>();
		if (opened === null) return found;
		const { by, role, name, hash, pen } = opened;
		const publicKey = pen?.publicKey ?? '';
		found.set(by, { key: by, publicKey, role, name, creator: true, enrolledBy: hash, revokedBy: [] });
		// An enrolment by a host counts only once the host's own is found, which total order does not promise.
		for (let before = -1; before !== found.size; ) {
			before = found.size;
			for (const entry of enrolled) {
				const key = fingerprint(entry.publicKey);
				if (found.has(key) || !isAuthority(found.get(entry.by)) || !stands(entry)) continue;
				const { publicKey, role, name, hash } = entry;
				found.set(key, { key, publicKey, role, name, creator: false, enrolledBy: hash, revokedBy: [] });
			}
		}
		return found;
	}

	function acceptRevocations() {
		const accepted: EntryOf<'revoked'>[] = [];
		const reach = new Map<string, Set<string>>();
		const byAuthority = revoked.filter(({ by }) => isAuthority(ever.get(by)));
		const hostsFirst = [
			...byAuthority.filter(({ by }) => ever.get(by)?.role === 'host'),
			...byAuthority.filter(({ by }) => ever.get(by)?.role !== 'host'),
		];
		// A revocation may adopt another one by naming later heads, so look again until nothing changes.
		for (let before = -1; before !== accepted.length; ) {
			before = accepted.length;
			for (const entry of hostsFirst) {
				if (accepted.includes(entry) || !(reach.get(entry.by)?.has(entry.hash) ?? true)) continue;
				accepted.push(entry);
				const own = reach.get(entry.key) ?? new Set();
				for (const hash of set.causality.past(entry.heads)) {
					if (set.get(hash)?.by === entry.key) own.add(hash);
				}
				reach.set(entry.key, own);
			}
		}
		return { accepted: byAuthority.filter((entry) => accepted.includes(entry)), reach };
	}
}

function isAuthority(person: { readonly creator: boolean; readonly role: Role } | undefined): boolean {
	return person !== undefined && (person.creator || person.role === 'host');
}
