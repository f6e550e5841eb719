import { readFileSync } from 'node:fs';
import type { Card } from '@stillmast/formats/card';
import type { EntryOf, FieldsOf, Kind, Role } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import {
	ChainWriter,
	createKey,
	EntrySet,
	fold,
	hashBytes,
	openKey,
	openRecord,
	type PenKey,
	type RecordState,
	type WriterOptions,
} from '@stillmast/record';

/** A real record between people with real pens, each with a replica of their own, in memory. */

const folder = new URL('../../../demo-scenarios/after-gearbox-smoothing/', import.meta.url);
const bytes = (name: string) => new Uint8Array(readFileSync(new URL(name, folder)));
const document = (name: string) => JSON.parse(new TextDecoder().decode(bytes(name))) as unknown;

export const card = document('card.json') as Card;
export const typeData = document('type.json') as TypeData;
export const names = { card, typeData, mark: '.' } as const;

const random = (length: number) => crypto.getRandomValues(new Uint8Array(length));
let upMs = 0;
const clock = { nowMs: () => Date.parse('2026-03-01T10:00:00.000Z'), upMs: () => upMs++, clock: () => null };
const hand = (key: PenKey): WriterOptions => ({ key, random, clock, unlocked: 'by-code' });

export class Writer {
	readonly key: PenKey;
	readonly set: EntrySet;
	readonly #chain: ChainWriter;

	constructor(key: PenKey, set: EntrySet, chain: ChainWriter) {
		this.key = key;
		this.set = set;
		this.#chain = chain;
	}

	get state(): RecordState {
		return fold(this.set);
	}

	get own(): string {
		return this.key.fingerprint;
	}

	async write<K extends Kind>(kind: K, fields: FieldsOf<K>): Promise<EntryOf<K>> {
		const written = await this.#chain.write(kind, fields);
		if (!written.ok) throw new Error(JSON.stringify(written.problem));
		return written.value;
	}

	/** Lets somebody in, who then has all that is here. */
	async letIn(role: Role, name = `Demo ${role}`): Promise<Writer> {
		const key = openKey(await createKey(random));
		await this.write('enrolled', { publicKey: key.publicKey, role, name, invite: null });
		const set = new EntrySet(this.set.record, this.set.inOrder());
		return new Writer(key, set, new ChainWriter(set, hand(key)));
	}

	/** What the others wrote comes in. */
	hear(...others: readonly Writer[]): void {
		for (const { set } of others) for (const entry of set.inOrder()) this.set.add(entry);
	}
}

/** An engineer opens a check on the invented Ouzel 3. */
export async function openCheck(): Promise<Writer> {
	const key = openKey(await createKey(random));
	const opened = await openRecord(hand(key), {
		purpose: 'flight',
		role: 'engineer',
		name: 'Demo engineer',
		aircraft: { registration: 'ZZ-TST', type: 'Ouzel 3', serial: '003' },
		card: hashBytes(bytes('card.json')),
		typeData: hashBytes(bytes('type.json')),
	});
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	return new Writer(key, opened.value.set, opened.value.writer);
}
