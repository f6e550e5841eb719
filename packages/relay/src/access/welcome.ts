import { createHash, timingSafeEqual } from 'node:crypto';
import { fingerprint } from '@stillmast/record/hash';
import type { Clock, Random } from '../ports.js';

const SECRET_BYTES = 20;
const LIFE_MS = 24 * 3_600_000;

/**
 * The way in for the first engineer of a host that keeps nothing yet: nobody is crew there who could bring a check or
 * invite. Lives in memory only: a host that is started again while it still keeps nothing makes another. @rule RLY-54
 */
export interface Welcome {
	/** Shown once by whoever started the host. */
	readonly secret: string;
	/** May this key bring the first check? The secret is spent by the first key; the same key may ask again. */
	take(secret: string, publicKey: string): boolean;
	/** Has this key, by its fingerprint, taken the welcome? */
	admits(key: string): boolean;
}

export function createWelcome({ clock, random }: { readonly clock: Clock; readonly random: Random }): Welcome {
	const secret = Buffer.from(random(SECRET_BYTES)).toString('base64url');
	const endsMs = clock.monotonicMs() + LIFE_MS;
	const digest = (text: string) => createHash('sha256').update(text).digest();
	let taken: string | null = null;
	return {
		secret,
		take(said, publicKey) {
			if (clock.monotonicMs() >= endsMs || !timingSafeEqual(digest(said), digest(secret))) return false;
			taken ??= fingerprint(publicKey);
			return taken === fingerprint(publicKey);
		},
		admits: (key) => taken !== null && taken === key && clock.monotonicMs() < endsMs,
	};
}
