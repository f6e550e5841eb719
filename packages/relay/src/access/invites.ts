import { createHash } from 'node:crypto';
import type { Clock, Random } from '../ports.js';
import type { InviteRow, Store } from '../store/store.js';

/** 160 bits, as a capability in a link asks for. */
const SECRET_BYTES = 20;
const SECRET_SHAPE = /^[A-Za-z0-9_-]{27}$/;

/** 32 letters and digits, 5 bits each; without I, L, O and 0, which are taken for others when they are read out. */
const SPOKEN_ALPHABET = 'ABCDEFGHJKMNPQRSTUVWXYZ123456789';
const SPOKEN_LENGTH = 10;
const SPOKEN_SHAPE = new RegExp(`^[${SPOKEN_ALPHABET}]{${SPOKEN_LENGTH}}$`);
const SPOKEN_HOURS = 10 / 60;

export interface InviteOrder {
	readonly record: string;
	readonly role: string;
	readonly uses: number;
	readonly hours: number;
}

export interface Invites {
	/** The secret, shown once; the store keeps only its digest. */
	create(order: InviteOrder): Promise<string>;
	/** A code of ten characters to be read out: one use, ten minutes. */
	createSpoken(record: string, role: string): Promise<{ readonly secret: string; readonly expiresAtMs: number }>;
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
	async function keep(secret: string, { record, role, uses, hours }: InviteOrder): Promise<number> {
		const createdAtMs = clock.nowMs();
		const expiresAtMs = Math.ceil(createdAtMs + hours * 3_600_000);
		const digest = digestOf(secret);
		await store.putInvite({ digest, record, role, createdAtMs, expiresAtMs, usesLeft: uses, revoked: false });
		return expiresAtMs;
	}

	return {
		async create(order) {
			if (!Number.isInteger(order.uses) || order.uses < 1) throw new RangeError('an invitation has at least one use');
			if (!(order.hours > 0)) throw new RangeError('an invitation lasts for some time');
			const secret = Buffer.from(random(SECRET_BYTES)).toString('base64url');
			await keep(secret, order);
			return secret;
		},
		async createSpoken(record, role) {
			const secret = [...random(SPOKEN_LENGTH)].map((byte) => SPOKEN_ALPHABET[byte % 32]).join('');
			return { secret, expiresAtMs: await keep(secret, { record, role, uses: 1, hours: SPOKEN_HOURS }) };
		},
		async find(said) {
			const secret = SECRET_SHAPE.test(said) ? said : asSpoken(said);
			if (secret === null) return null;
			const invite = await store.getInvite(digestOf(secret));
			if (!invite || invite.revoked || invite.expiresAtMs <= clock.nowMs()) return null;
			return invite;
		},
		spend: (invite) => store.spendInvite(invite.digest, clock.nowMs()),
		revoke: (digest) => store.revokeInvite(digest),
		list: (record) => store.invites(record),
	};
}

/** A code as people write it down: small letters, spaces and dashes do not matter. */
function asSpoken(said: string): string | null {
	if (said.length > 40) return null;
	const code = said.replace(/[\s-]/g, '').toUpperCase();
	return SPOKEN_SHAPE.test(code) ? code : null;
}
