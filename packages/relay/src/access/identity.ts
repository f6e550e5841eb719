import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { BYTES_32 } from '@stillmast/formats/entry';
import { fingerprint } from '@stillmast/record/hash';
import { verifyingKey } from '@stillmast/record/pen';
import { ticketText } from '@stillmast/record/wire';
import type { Fields } from '../http/routes.js';
import type { Passes } from './passes.js';

/** `nonce-spent` is worth another try with a fresh nonce; `not-proved` is not. */
export interface IdentityProblem extends Problem {
	readonly code: 'nonce-spent' | 'not-proved';
}

/**
 * Who sent these fields: `publicKey`, `nonce` and `sig` over this host's name, what is asked for and the nonce. The
 * nonce is spent by the attempt, whatever comes of it.
 * @param asked a record's id, or `list` for the list of one's records
 * @returns the key's fingerprint
 */
export async function provenKey(
	body: Fields,
	asked: string,
	hostName: string,
	nonces: Passes<true>,
): Promise<Result<string, IdentityProblem>> {
	const publicKey = body('publicKey') ?? '';
	const nonce = body('nonce') ?? '';
	if (nonces.take(nonce) === null) return fail({ code: 'nonce-spent' });
	if (!BYTES_32.test(publicKey)) return fail({ code: 'not-proved', path: '$.publicKey' });
	const key = await verifyingKey(publicKey);
	if (!(await key.verifies(ticketText(hostName, asked, nonce), body('sig') ?? ''))) {
		return fail({ code: 'not-proved', path: '$.sig' });
	}
	return ok(fingerprint(publicKey));
}
