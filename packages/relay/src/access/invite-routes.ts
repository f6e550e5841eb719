import { BYTES_32, type Role, roles } from '@stillmast/formats/entry';
import { type Answer, answered, type Fields, postRoute, type Routes, refused } from '../http/routes.js';
import type { Clock } from '../ports.js';
import type { Hall } from '../room/hall.js';
import type { Room } from '../room/room.js';
import { provenKey } from './identity.js';
import type { Invites } from './invites.js';
import type { Passes } from './passes.js';

export interface InviteRoutePorts {
	readonly hall: Hall;
	readonly invites: Invites;
	readonly nonces: Passes<true>;
	readonly clock: Clock;
}

/** Crew may let others in; nobody is let in as another host. */
const MAY_INVITE: readonly Role[] = ['pilot', 'engineer'];
const INVITABLE = roles.filter((role) => role !== 'host');
const USES_MAX = 20;
const HOURS_MAX = 7 * 24;

/** Making, listing and revoking invitations from the board. @rule RLY-50 */
export function inviteRoutes({ hall, invites, nonces, clock }: InviteRoutePorts): Routes {
	/** The room of the record asked for, if the asker belongs to its crew. */
	async function crewRoom(body: Fields, hostName: string): Promise<Room | Answer> {
		const record = body('record') ?? '';
		if (!BYTES_32.test(record)) return refused(400, 'not-a-record', { path: '$.record' });
		const proven = await provenKey(body, record, hostName, nonces);
		if (!proven.ok) return refused(proven.problem.code === 'nonce-spent' ? 503 : 401, proven.problem.code);
		const room = await hall.room(record);
		if (!room) return refused(404, 'record-not-here');
		const role = room.trust.roleOf(proven.value);
		const may = role !== null && (MAY_INVITE.includes(role) || room.trust.creator === proven.value);
		return may ? room : refused(403, 'may-not-invite');
	}

	async function create(body: Fields, hostName: string): Promise<Answer> {
		const room = await crewRoom(body, hostName);
		if ('status' in room) return room;
		const role = INVITABLE.find((known) => known === body('role'));
		if (!role) return refused(400, 'not-a-role', { path: '$.role', needed: INVITABLE });
		if (body('spoken') === 'yes') {
			const spoken = await invites.createSpoken(room.record, role);
			return answered({ code: spoken.secret, expiresAtMs: spoken.expiresAtMs });
		}
		const uses = Number(body('uses') ?? 1);
		const hours = Number(body('hours') ?? 12);
		if (!Number.isInteger(uses) || uses < 1 || uses > USES_MAX) return refused(400, 'not-in-range', { path: '$.uses' });
		if (!(hours > 0 && hours <= HOURS_MAX)) return refused(400, 'not-in-range', { path: '$.hours' });
		const secret = await invites.create({ record: room.record, role, uses, hours });
		return answered({ secret, expiresAtMs: Math.ceil(clock.nowMs() + hours * 3_600_000) });
	}

	async function list(body: Fields, hostName: string): Promise<Answer> {
		const room = await crewRoom(body, hostName);
		if ('status' in room) return room;
		const made = await invites.list(room.record);
		return answered({
			invites: made.map(({ digest, role, createdAtMs, expiresAtMs, usesLeft, revoked }) => ({
				invite: digest,
				role,
				createdAtMs,
				expiresAtMs,
				usesLeft,
				revoked,
			})),
		});
	}

	async function revoke(body: Fields, hostName: string): Promise<Answer> {
		const room = await crewRoom(body, hostName);
		if ('status' in room) return room;
		const digest = body('invite') ?? '';
		const made = await invites.list(room.record);
		if (!made.some((invite) => invite.digest === digest)) return refused(404, 'no-such-invite');
		await invites.revoke(digest);
		return answered({});
	}

	return {
		'POST /api/invites': postRoute((body, { hostName }) => create(body, hostName)),
		'POST /api/invites/list': postRoute((body, { hostName }) => list(body, hostName)),
		'POST /api/invites/revoke': postRoute((body, { hostName }) => revoke(body, hostName)),
	};
}
