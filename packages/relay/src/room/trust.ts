import type { Purpose, Role } from '@stillmast/formats/entry';
import { fingerprint } from '@stillmast/record/hash';
import type { EntrySet } from '@stillmast/record/set';
import type { PersonRow } from '../store/store.js';

/** Who belongs to a record and what it is about, as its entries say. */
export interface Trust {
	readonly purpose: Purpose | null;
	readonly registration: string | null;
	readonly creator: string | null;
	/** May this key enrol others? */
	isAuthority(key: string): boolean;
	isRevoked(key: string): boolean;
	/** Role of a key (by fingerprint); null when it has none or it was ended. */
	roleOf(key: string): Role | null;
	people(): readonly PersonRow[];
}

export function trustOf(entries: EntrySet): Trust {
	const opened = entries.get(entries.record);
	const people = new Map<string, PersonRow & { role: Role }>();
	let creator: string | null = null;
	let purpose: Purpose | null = null;
	let registration: string | null = null;
	if (opened && opened.kind === 'opened') {
		creator = opened.by;
		purpose = opened.purpose as Purpose;
		registration = (opened.aircraft as { registration: string }).registration;
		people.set(creator, { key: creator, role: opened.role as Role, name: opened.name as string, revoked: false });
	}
	for (const entry of entries.inOrder()) {
		const authority = people.get(entry.by);
		if (!authority || authority.revoked || (entry.by !== creator && authority.role !== 'host')) continue;
		if (entry.kind === 'enrolled') {
			const key = fingerprint(entry.publicKey as string);
			people.set(key, { key, role: entry.role as Role, name: entry.name as string, revoked: false });
		}
		if (entry.kind === 'revoked') {
			const known = people.get(entry.key as string);
			if (known) people.set(known.key, { ...known, revoked: true });
		}
	}
	return {
		purpose,
		registration,
		creator,
		roleOf(key) {
			const person = people.get(key);
			return person && !person.revoked ? person.role : null;
		},
		isAuthority: (key) => {
			const person = people.get(key);
			return person !== undefined && !person.revoked && (key === creator || person.role === 'host');
		},
		isRevoked: (key) => people.get(key)?.revoked === true,
		people: () => [...people.values()],
	};
}
