import { openKey, type PenKey, softwareKey } from '@stillmast/record/pen';
import type { Random } from '../ports.js';
import type { Store } from '../store/store.js';

/** The host's own key, by which it enrols people: the one in the store, or a fresh one that is kept there for good. */
export async function openHostKey(store: Store, random: Random): Promise<PenKey> {
	const secret = random(32);
	const { publicKey } = await softwareKey(secret);
	const kept = await store.keepHostKey({ publicKey, secret });
	return openKey({ keeping: 'extractable', ...kept });
}
