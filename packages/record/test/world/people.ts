import { createPrivateKey, createPublicKey, type KeyObject, sign } from 'node:crypto';
import type { EntryOf, FieldsOf, Kind, Purpose, Role } from '@stillmast/formats/entry';
import {
	ChainWriter,
	type Circumstances,
	EntrySet,
	fingerprint,
	hashBytes,
	openRecord,
	type PenKey,
	type Random,
	type WriterClock,
} from '../../src/index.js';

/** Small seeded generator (mulberry32, common practice): equal seeds give equal records. */
export function seededNumbers(seed: number): () => number {
	let state = seed >>> 0;
	return () => {
		state = (state + 0x6d2b79f5) >>> 0;
		let mixed = Math.imul(state ^ (state >>> 15), state | 1);
		mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
		return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
	};
}

export function seededRandom(seed: number): Random {
	const next = seededNumbers(seed);
	return (length) => Uint8Array.from({ length }, () => Math.floor(next() * 256));
}

export function shuffled<T>(list: readonly T[], seed: number): T[] {
	const next = seededNumbers(seed);
	const copy = [...list];
	for (let i = copy.length - 1; i > 0; i--) {
		const j = Math.floor(next() * (i + 1));
		[copy[i], copy[j]] = [copy[j] as T, copy[i] as T];
	}
	return copy;
}

/** DER of an Ed25519 private key (RFC 8410) up to its 32 bytes. */
const PKCS8_PREFIX = Buffer.from('302e020100300506032b657004220420', 'hex');

/** A key by OpenSSL, which is another implementation than the product's own two, and quick. */
export function seededKey(seed: number): PenKey {
	const secret = Buffer.from(seededRandom(seed)(32));
	const privateKey: KeyObject = createPrivateKey({
		key: Buffer.concat([PKCS8_PREFIX, secret]),
		format: 'der',
		type: 'pkcs8',
	});
	const publicKey = createPublicKey(privateKey).export({ format: 'jwk' }).x ?? '';
	return {
		publicKey,
		fingerprint: fingerprint(publicKey),
		keeping: 'extractable',
		sign: async (text) => sign(null, Buffer.from(text), privateKey).toString('base64url'),
	};
}

/** A clock that stands still unless told. */
export function stillClock(at = '2026-03-01T10:00:00.000Z'): WriterClock {
	let upMs = 0;
	return { nowMs: () => Date.parse(at), upMs: () => upMs++, clock: () => null };
}

/** Blobs that every test record is opened with. */
export const cardBytes = new TextEncoder().encode('{"card":"invented"}');
export const typeBytes = new TextEncoder().encode('{"type":"invented"}');
export const testBlobs: ReadonlyMap<string, Uint8Array> = new Map([
	[hashBytes(cardBytes), cardBytes],
	[hashBytes(typeBytes), typeBytes],
]);

/** One person with one pen, writing one chain into a replica of their own. */
export class Hand {
	readonly key: PenKey;
	readonly set: EntrySet;
	readonly writer: ChainWriter;

	constructor(set: EntrySet, key: PenKey, writer: ChainWriter) {
		this.set = set;
		this.key = key;
		this.writer = writer;
	}

	async write<K extends Kind>(kind: K, fields: FieldsOf<K>, about?: Circumstances): Promise<EntryOf<K>> {
		const written = await this.writer.write(kind, fields, about);
		if (!written.ok) throw new Error(JSON.stringify(written.problem));
		return written.value;
	}

	/** Takes in everything of another replica. */
	hear(other: EntrySet): void {
		for (const entry of other.inOrder()) this.set.add(entry);
	}

	/** Another page load of the same pen, on the same replica. */
	reload(seed: number): Hand {
		const options = { key: this.key, random: seededRandom(seed), clock: stillClock(), unlocked: 'by-code' } as const;
		return new Hand(this.set, this.key, new ChainWriter(this.set, options));
	}
}

/** Opens a record by a creator of this role; the seed decides key, nonce and chain. */
export async function openTestRecord(seed = 1, role: Role = 'engineer', purpose: Purpose = 'flight'): Promise<Hand> {
	const key = seededKey(seed);
	const options = { key, random: seededRandom(seed + 1000), clock: stillClock(), unlocked: 'by-code' } as const;
	const opened = await openRecord(options, {
		purpose,
		role,
		name: `${role} ${seed}`,
		aircraft: { registration: 'ZZ-TST', type: 'Ouzel 3', serial: '003' },
		card: hashBytes(cardBytes),
		typeData: hashBytes(typeBytes),
	});
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	return new Hand(opened.value.set, key, opened.value.writer);
}

/** Every device's clock is wrong in its own way, by up to two hours: nothing may be decided by it. */
function wrongClock(seed: number): WriterClock {
	const offMs = (seededNumbers(seed)() - 0.5) * 4 * 3_600_000;
	return stillClock(new Date(Date.parse('2026-03-01T10:00:00.000Z') + Math.round(offMs)).toISOString());
}

/** A hand with a replica of its own that knows what `knows` knows; not enrolled yet. */
export function newHand(knows: EntrySet, seed: number): Hand {
	const key = seededKey(seed);
	const set = new EntrySet(knows.record, knows.inOrder());
	const options = { key, random: seededRandom(seed + 1000), clock: wrongClock(seed), unlocked: 'by-code' } as const;
	return new Hand(set, key, new ChainWriter(set, options));
}

/** The same, enrolled by `authority`. */
export async function enrolHand(authority: Hand, role: Role, seed: number): Promise<Hand> {
	const { publicKey } = seededKey(seed);
	await authority.write('enrolled', { publicKey, role, name: `${role} ${seed}`, invite: null });
	return newHand(authority.set, seed);
}

export const hover = { flight: 1, run: 1, rotor: 'main', channel: 'hover/lat' } as const;

/** An engineer who opened the record, a pilot, and a way to let each hear the other. */
export async function crew(): Promise<{ engineer: Hand; pilot: Hand; hear: () => void }> {
	const engineer = await openTestRecord();
	const pilot = await enrolHand(engineer, 'pilot', 2);
	const hear = () => {
		pilot.hear(engineer.set);
		engineer.hear(pilot.set);
	};
	return { engineer, pilot, hear };
}
