import type { RecordState } from '@stillmast/record';
import type { Session } from '@stillmast/record/client';
import { all, type Done } from '$lib/check/actions.js';

const field = 'rehearsal/tail';
const mostTail = 9999;

/** A number that a hidden fault can have. */
export function isTail(tail: number): boolean {
	return Number.isInteger(tail) && tail >= 1 && tail <= mostTail;
}

export function writeTail(session: Pick<Session, 'write'>, tail: number): Promise<Done> {
	return all(() => session.write('header', { field, value: tail, unit: '' }));
}

/** The hidden fault that this record rehearses; null where it rehearses no whole check. @rule RHS-31 */
export function tailOf({ purpose, of }: Pick<RecordState, 'purpose' | 'of'>): number | null {
	// the first one holds: a rotor does not change its fault in the middle of a check
	const value = of.header.find((entry) => entry.field === field)?.value;
	return purpose === 'rehearsal' && typeof value === 'number' && isTail(value) ? value : null;
}
