import { BYTES_32, fieldsProblem, type Role, roles } from '@stillmast/formats/entry';
import { fingerprint } from '@stillmast/record/hash';
import type { PenKey } from '@stillmast/record/pen';
import { WIRE_VERSION } from '@stillmast/record/wire';
import { joinWords } from '@stillmast/record/words';
import {
	type Answer,
	answered,
	type Fields,
	getRoute,
	postRoute,
	type Routes,
	refused,
	textRoute,
} from '../http/routes.js';
import type { Clock, Log } from '../ports.js';
import type { Hall } from '../room/hall.js';
import type { Store } from '../store/store.js';
import { type AllowanceSize, createAllowance } from './allowance.js';
import { provenKey } from './identity.js';
import { inviteRoutes } from './invite-routes.js';
import type { Invites } from './invites.js';
import type { Passes } from './passes.js';
import { summaryOf } from './summary.js';
import { takeUpload } from './upload.js';
import type { Welcome } from './welcome.js';

/** Largest record file that is read. */
const RECORD_FILE_BYTES_MAX = 64 * 1024 * 1024;

/** What a socket ticket stands for. */
export interface Grant {
	readonly record: string;
	/** Fingerprint of the key that proved itself. */
	readonly key: string;
}

export interface ApiPorts {
	readonly hall: Hall;
	readonly store: Store;
	readonly host: PenKey;
	readonly hostName: string | null;
	/** Only while the host keeps nothing. */
	readonly welcome: Welcome | null;
	/** Told of everybody who joins, with the words that their device shows. */
	readonly onJoined: ((joined: JoinNews) => void) | undefined;
	readonly invites: Invites;
	readonly nonces: Passes<true>;
	readonly tickets: Passes<Grant>;
	readonly clock: Clock;
	readonly log: Log;
	readonly build: string;
	readonly limits: AccessLimits;
}

export interface JoinNews {
	readonly record: string;
	readonly registration: string | null;
	readonly role: Role;
	readonly name: string;
	readonly words: string;
}

export interface AccessLimits {
	/** Asked once for each connection and each list; many devices may stand behind one address. */
	readonly nonces: AllowanceSize;
	/** A secret cannot be guessed; this keeps someone from keeping the host busy trying. */
	readonly joins: AllowanceSize;
	/** Reading a whole record costs the host some work. */
	readonly uploads: AllowanceSize;
}

export const accessLimits: AccessLimits = {
	nonces: { burst: 120, perMinute: 240 },
	joins: { burst: 10, perMinute: 10 },
	uploads: { burst: 6, perMinute: 6 },
};

/** Joining, tickets and the list of one's records. Every refusal has a code; none says more than the asker may know. */
export function createApi(ports: ApiPorts): Routes {
	const { hall, store, host, invites, nonces, tickets, clock, log } = ports;
	const nonceAllowance = createAllowance({ clock, ...ports.limits.nonces });
	const uploadAllowance = createAllowance({ clock, ...ports.limits.uploads });
	const joinAllowance = createAllowance({ clock, ...ports.limits.joins });

	async function join(body: Fields): Promise<Answer> {
		const publicKey = body('publicKey') ?? '';
		const name = (body('name') ?? '').trim();
		if (!BYTES_32.test(publicKey)) return refused(400, 'not-a-key', { path: '$.publicKey' });
		const secret = body('secret') ?? '';
		if (ports.welcome?.take(secret, publicKey)) {
			return answered({ record: '', role: 'engineer', name, hostKey: host.publicKey, hostName: ports.hostName });
		}
		const invite = await invites.find(secret);
		if (!invite) return refused(410, 'invite-spent');
		const room = await hall.room(invite.record);
		const role = roles.find((known) => known === invite.role);
		if (!room || !role) return refused(410, 'invite-spent');

		const key = fingerprint(publicKey);
		const joined = (as: Role) =>
			answered({ record: room.record, role: as, name, hostKey: host.publicKey, hostName: ports.hostName });
		const known = room.trust.roleOf(key);
		// Asked again after an answer that got lost: nothing is spent twice, and nothing said that is not kept.
		if (known) return (await room.settled()) ? joined(known) : refused(503, 'store-trouble');
		if (room.trust.isRevoked(key)) return refused(403, 'revoked');
		if (!room.trust.isAuthority(host.fingerprint)) return refused(409, 'host-not-enrolled');
		const fields = { publicKey, role, name, invite: invite.digest };
		const unfit = fieldsProblem('enrolled', fields);
		if (unfit) return refused(400, unfit.code, { path: unfit.path });
		if (!(await invites.spend(invite))) {
			const meanwhile = room.trust.roleOf(key);
			return meanwhile ? joined(meanwhile) : refused(410, 'invite-spent');
		}
		const written = await room.write('enrolled', fields);
		if (!written.ok) return refused(503, written.problem.code);
		log({ level: 'info', event: 'joined', record: room.record, key, role });
		if (ports.onJoined) {
			const words = await joinWords({ record: room.record, hostKey: host.publicKey, publicKey });
			ports.onJoined({ record: room.record, registration: room.trust.registration, role, name, words });
		}
		return joined(role);
	}

	async function ticket(body: Fields, hostName: string): Promise<Answer> {
		const record = body('record') ?? '';
		if (!BYTES_32.test(record)) return refused(400, 'not-a-record', { path: '$.record' });
		const proven = await provenKey(body, record, hostName, nonces);
		if (!proven.ok) return refused(proven.problem.code === 'nonce-spent' ? 503 : 401, proven.problem.code);
		const key = proven.value;
		const room = await hall.room(record);
		if (!room) return refused(404, 'record-not-here');
		const role = room.trust.roleOf(key);
		if (!role) return refused(403, room.trust.isRevoked(key) ? 'revoked' : 'not-enrolled');
		const word = tickets.issue({ record, key });
		return word === null ? refused(503, 'host-busy') : answered({ ticket: word, role });
	}

	async function list(body: Fields, hostName: string): Promise<Answer> {
		const proven = await provenKey(body, 'list', hostName, nonces);
		if (!proven.ok) return refused(proven.problem.code === 'nonce-spent' ? 503 : 401, proven.problem.code);
		const records = [];
		for (const { record, role, revoked } of await store.memberships(proven.value)) {
			if (revoked) continue;
			const room = await hall.room(record);
			if (room) records.push({ record, role, ...summaryOf(room.entries, room.trust) });
		}
		return answered({ records });
	}

	return {
		...inviteRoutes(ports),
		'GET /api/host': getRoute(() =>
			answered({
				publicKey: host.publicKey,
				fingerprint: host.fingerprint,
				name: ports.hostName,
				wire: WIRE_VERSION,
				build: ports.build,
			}),
		),
		'POST /api/nonce': postRoute((_, { address }) => {
			const word = nonceAllowance.take(address) ? nonces.issue(true) : null;
			return word === null ? refused(429, 'too-many-requests') : answered({ nonce: word });
		}),
		'POST /api/ticket': postRoute((body, { hostName }) => ticket(body, hostName)),
		'POST /api/join': postRoute((body, { address }) =>
			joinAllowance.take(address) ? join(body) : refused(429, 'too-many-requests'),
		),
		'POST /api/records': textRoute(RECORD_FILE_BYTES_MAX, (text, { address }) =>
			uploadAllowance.take(address) ? takeUpload(ports, text) : refused(429, 'too-many-requests'),
		),
		'POST /api/records/list': postRoute((body, { hostName }) => list(body, hostName)),
	};
}
