import type { RecordState } from '@stillmast/record';
import { clockText, roleWord } from '$lib/check/people.view.js';
import { fill } from '$lib/words/fill.js';
import { passOn } from '$lib/words/pass-on.js';

/** A person's device as this record knows it. */
export interface DeviceLine {
	readonly key: string;
	readonly name: string;
	readonly role: string;
	readonly heard: string;
	/** Entries known to exist and not here, in words; null when there are none. */
	readonly missing: string | null;
	readonly isLockedOut: boolean;
	/** Newest entries of its chains that are here: what locking it out leaves counting. */
	readonly heads: readonly string[];
	/** Newest entry of it that is here with all before it; null when there is none. */
	readonly last: string | null;
}

/** Everybody but the host, in order of enrolment. */
export function deviceLines(state: RecordState): DeviceLine[] {
	const judged = [...state.judged.values()];
	const entries = judged.map(({ entry }) => entry);
	return [...state.people.values()]
		.filter(({ role }) => role !== 'host')
		.map(({ key, name, role, revokedBy }) => {
			const own = entries.filter(({ by }) => by === key);
			const last = own.at(-1);
			const missing = state.waiting.find(({ by }) => by === key)?.count ?? 0;
			const newest = new Map(own.toSorted((a, b) => a.seq - b.seq).map(({ chain, hash }) => [chain, hash]));
			return {
				key,
				name,
				role: roleWord(role),
				heard:
					last === undefined
						? passOn.neverHeard
						: fill(passOn.lastHeard, { time: clockText(last.at), count: String(own.length) }),
				missing: missing === 0 ? null : fill(passOn.missing, { count: String(missing) }),
				isLockedOut: revokedBy.length > 0,
				heads: [...newest.values()],
				last:
					judged.findLast(({ entry, judgement }) => entry.by === key && judgement.state !== 'waits')?.entry.hash ??
					null,
			};
		});
}
