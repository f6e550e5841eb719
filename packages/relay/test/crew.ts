import { createHash } from 'node:crypto';
import type { Entry, FieldsOf, Kind, Role } from '@stillmast/formats/entry';
import { openKey, type PenKey, softwareKey } from '@stillmast/record/pen';
import type { EntrySet } from '@stillmast/record/set';
import { ChainWriter, openRecord, type WriterOptions } from '@stillmast/record/writer';
import type { Random } from '../src/ports.js';

/** Seeded bytes, so that every run of a test makes the same keys and nonces. */
export function seededRandom(seed: string): Random {
	let count = 0;
	return (length) => {
		const bytes = new Uint8Array(length);
		for (let at = 0; at < length; at += 32) {
			const block = createHash('sha256').update(`${seed} ${count++}`).digest();
			bytes.set(block.subarray(0, Math.min(32, length - at)), at);
		}
		return bytes;
	};
}

/** Invented people; each writes with a pen of its own. */
export interface Person {
	readonly name: string;
	readonly key: PenKey;
	readonly options: WriterOptions;
}

export async function person(name: string, random = seededRandom(name)): Promise<Person> {
	const key = openKey(await softwareKey(random(32)));
	let upMs = 0;
	return {
		name,
		key,
		options: {
			key,
			random,
			unlocked: 'by-code',
			clock: { nowMs: () => Date.UTC(2026, 5, 1), upMs: () => ++upMs, clock: () => null },
		},
	};
}

export interface Opened {
	readonly record: string;
	readonly set: EntrySet;
	readonly writer: ChainWriter;
	readonly creator: Person;
}

const someHash = (word: string) => createHash('sha256').update(word).digest('base64url');

/** A check opened by `creator`, with `host` enrolled as host when it is given. */
export async function openCheck(
	creator: Person,
	options: { host?: string; role?: 'pilot' | 'engineer' | 'instructor'; purpose?: 'flight' | 'rehearsal' } = {},
): Promise<Opened> {
	const opened = await openRecord(creator.options, {
		purpose: options.purpose ?? 'flight',
		role: options.role ?? 'engineer',
		name: creator.name,
		aircraft: { registration: 'ZZ-OUZ', type: 'Ouzel 3', serial: '7' },
		card: someHash('card'),
		typeData: someHash('type'),
	});
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	const { set, writer } = opened.value;
	if (options.host !== undefined) {
		await mustWrite(writer, 'enrolled', { publicKey: options.host, role: 'host', name: 'hangar', invite: null });
	}
	return { record: set.record, set, writer, creator };
}

export async function mustWrite<K extends Kind>(writer: ChainWriter, kind: K, fields: FieldsOf<K>): Promise<Entry> {
	const written = await writer.write(kind, fields);
	if (!written.ok) throw new Error(JSON.stringify(written.problem));
	return written.value as unknown as Entry;
}

export function enrol(opened: Opened, who: Person, role: Role): Promise<Entry> {
	return mustWrite(opened.writer, 'enrolled', { publicKey: who.key.publicKey, role, name: who.name, invite: null });
}

/** A remark: the shortest entry that anybody who talks may write. */
export function remark(writer: ChainWriter, text: string): Promise<Entry> {
	return mustWrite(writer, 'remark', { to: null, asks: false, text });
}

/** A further pen writing in the same record, as on another device. */
export function writerOf(opened: { readonly set: EntrySet }, who: Person): ChainWriter {
	return new ChainWriter(opened.set, who.options);
}
