import { createHash } from 'node:crypto';
import type { Clock, Random } from '../ports.js';
import type { InviteRow, Store } from '../store/store.js';

/** 160 bits, as a capability in a link asks for. */
const SECRET_BYTES = 20;
const SECRET_SHAPE = /^[A-Za-z0-9_-]{27}$/;

export interface InviteOrder {
	readonly record: string;
	readonly role: string;
	readonly uses: number;
	readonly hours: number;
}

export interface Invites {
	/** The secret, shown once; the store keeps only its digest. */
	create(order: InviteOrder): Promise<string>;
	/** The invitation while it can still be used, else null; says the same of unknown, spent, expired and revoked. */
	find(secret: string): Promise<InviteRow | null>;
	/** Spends one use; false when somebody else took the last. */
	spend(invite: InviteRow): Promise<boolean>;
	/** By the digest that `list` names. */
	revoke(digest: string): Promise<void>;
	list(record: string): Promise<readonly InviteRow[]>;
}

const digestOf = (secret: string) => createHash('sha256').update(secret).digest('base64url');

export function createInvites(options: {
	readonly store: Store;
	readonly clock: Clock;
	readonly random: Random;
}): Invites {
	const { store, clock, random } = options;
	return {
		async create({ record, role, uses, hours }) {
			if (!Number.isInteger(uses) || uses < 1) throw new RangeError('an invitation has at least one use');
			if (!(hours > 0)) throw new RangeError('an invitation lasts for some time');
			const secret = Buffer.from(random(SECRET_BYTES)).toString('base64url');
			const createdAtMs = clock.nowMs();
			await store.putInvite({
				digest: digestOf(secret),
				record,
				role,
				createdAtMs,
				expiresAtMs: Math.ceil(createdAtMs + hours * 3_600_000),
				usesLeft: uses,
				revoked: false,
			});
			return secret;
		},
		async find(secret) {
			if (!SECRET_SHAPE.test(secret)) return null;
			const invite = await store.getInvite(digestOf(secret));
			if (!invite || invite.revoked || invite.expiresAtMs <= clock.nowMs()) return null;
			return invite;
		},
		spend: (invite) => store.spendInvite(invite.digest, clock.nowMs()),
		revoke: (digest) => store.revokeInvite(digest),
		list: (record) => store.invites(record),
	};
}
