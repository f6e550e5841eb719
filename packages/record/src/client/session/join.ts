import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { toBase64url } from '../../hash/base64url.js';
import { joinWords } from '../../words/three-words.js';
import { type AccessProblem, postJoin, worthRetrying } from '../link/index.js';
import type { NetworkPort } from '../ports.js';
import type { InviteRow, StoreProblem } from '../store/index.js';
import { openSession } from './open.js';
import type { ClientPorts, Hand, Session } from './types.js';

type Connected = ClientPorts & { readonly network: NetworkPort };

/**
 * Keeps an invite's secret until it has been exchanged: from then on the page may wipe it from its address, and a
 * reload or a host out of reach loses nothing.
 */
export async function keepInvite(ports: Connected, secret: string): Promise<Result<InviteRow, StoreProblem>> {
	const row: InviteRow = {
		key: toBase64url(ports.random(16)),
		secret,
		hostName: ports.network.hostName,
		savedAtMs: ports.clock.nowMs(),
	};
	const kept = await ports.store.put('invites', row);
	return kept.ok ? ok(row) : kept;
}

/** Invites that wait for this host. */
export async function pendingInvites(ports: Connected): Promise<Result<readonly InviteRow[], StoreProblem>> {
	const rows = await ports.store.all('invites');
	return rows.ok ? ok(rows.value.filter(({ hostName }) => hostName === ports.network.hostName)) : rows;
}

export interface Joined {
	/** The record joined; null when the host has none yet and its operator asked this person to open the first. */
	readonly session: Session | null;
	/** The same three words stand at whoever invited: other words mean another host, record or pen. Null with no record. */
	readonly words: string | null;
}

/**
 * Exchanges an invite for the enrolment of this pen and opens the record. An invite that the host refuses for good is
 * forgotten; one that could not be sent stays pending.
 * @param name declared name of the person
 */
export async function joinRecord(
	ports: Connected,
	invite: InviteRow,
	hand: Hand,
	name: string,
): Promise<Result<Joined, AccessProblem | Problem>> {
	const joined = await postJoin(ports.network, invite.secret, hand.key.publicKey, name);
	if (!joined.ok) {
		if (!worthRetrying(joined.problem)) await ports.store.remove('invites', invite.key);
		return fail(joined.problem);
	}
	const { record, role, name: known, hostKey } = joined.value;
	if (record === '') {
		await ports.store.remove('invites', invite.key);
		return ok({ session: null, words: null });
	}
	const kept = await ports.store.put('records', {
		key: record,
		hostName: ports.network.hostName,
		hostKey,
		penKey: hand.key.publicKey,
		role,
		name: known,
		openedAtMs: ports.clock.nowMs(),
		storedHeads: [],
		lastContactMs: ports.clock.nowMs(),
	});
	// the enrolment stands at the host by now; a device that cannot remember it can still work, and asks again later
	if (kept.ok) await ports.store.remove('invites', invite.key);
	const words = await joinWords({ record, hostKey, publicKey: hand.key.publicKey });
	return ok({ session: await openSession(ports, record, hand), words });
}
