import type { RecordState } from '@stillmast/record';
import { all, type Done } from '$lib/check/actions.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';

/** Header field under which a person declares their own licence. */
export function licenceField(key: string): string {
	return `licence/${key}`;
}

/** A licence as its holder declared it: with a signature, else on the page of preparation. Nobody declares another's. */
export function licenceOf(state: RecordState, key: string): string | null {
	const signed = state.of.signature.findLast(({ by, licence }) => by === key && licence !== '')?.licence;
	if (signed !== undefined) return signed;
	const declared = state.of.header.findLast(({ by, field }) => by === key && field === licenceField(key))?.value;
	return typeof declared === 'string' && declared !== '' ? declared : null;
}

/**
 * Declares what whoever holds the pen wrote down when it was made, unless it stands in the record already. Called with
 * something that person writes anyway, so that nothing is added to a signed check by looking at it.
 */
export function declareLicence({ session, pen, state }: LiveCheck): Promise<Done> {
	const key = pen.key.fingerprint;
	if (pen.licence.trim() === '' || licenceOf(state, key) !== null) return all();
	return all(() => session.write('header', { field: licenceField(key), value: pen.licence.trim(), unit: '' }));
}
