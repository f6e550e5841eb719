import type { EntrySet } from '@stillmast/record/set';
import type { Trust } from '../room/trust.js';

/** What a list of records says of one of them. */
export interface Summary {
	readonly registration: string | null;
	readonly purpose: string | null;
	/** Device clock of the first and of the newest entry; for showing only. */
	readonly openedAt: string | null;
	readonly lastAt: string | null;
	readonly entries: number;
	readonly flights: number;
	readonly signatures: number;
	/** One line: `flight 3, 412 entries, signed by 2`. */
	readonly state: string;
}

export function summaryOf(entries: EntrySet, trust: Trust): Summary {
	const ordered = entries.inOrder();
	let flights = 0;
	let signatures = 0;
	let lastAt: string | null = null;
	for (const entry of ordered) {
		if (entry.kind === 'flight' && typeof entry.flight === 'number') flights = Math.max(flights, entry.flight);
		if (entry.kind === 'signature') signatures += 1;
		if (lastAt === null || entry.at > lastAt) lastAt = entry.at;
	}
	const signed = signatures > 0 ? `, ${signatures} ${signatures === 1 ? 'signature' : 'signatures'}` : '';
	return {
		registration: trust.registration,
		purpose: trust.purpose,
		openedAt: entries.get(entries.record)?.at ?? null,
		lastAt,
		entries: ordered.length,
		flights,
		signatures,
		state: `${flights > 0 ? `flight ${flights}` : 'before the first flight'}, ${ordered.length} entries${signed}`,
	};
}
