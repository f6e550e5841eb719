import { fail, type Result } from '@stillmast/core/result';
import { type AccessProblem, fetchHostKey, postRecord } from '../link/index.js';
import { exportSession } from './carry.js';
import type { ClientPorts, Hand, Session } from './types.js';

/**
 * Brings a record to a host that does not have it. Only its creator can: the host keeps a record only once the creator
 * has enrolled its key, and that enrolment is an entry like any other.
 */
export async function bringRecord(
	{ network }: ClientPorts,
	{ key }: Hand,
	session: Session,
): Promise<Result<void, AccessProblem>> {
	if (network === null) return fail({ code: 'host-unreachable' });
	await session.settled();
	if (session.state.opened?.by !== key.fingerprint) return fail({ code: 'record-not-at-host', found: session.record });
	const publicKey = await fetchHostKey(network);
	if (!publicKey.ok) return publicKey;
	const enrolled = session.state.of.enrolled.some((entry) => entry.publicKey === publicKey.value);
	if (!enrolled) {
		const name = network.hostName.slice(0, 120);
		const written = await session.write('enrolled', { publicKey: publicKey.value, role: 'host', name, invite: null });
		if (!written.ok) return fail({ code: 'refused-by-host', found: written.problem.code });
		await session.settled();
	}
	return postRecord(network, (await exportSession(session)).text);
}
