import type { Entry } from '@stillmast/formats/entry';
import { readEntries } from '@stillmast/record/carrier';
import { fold } from '@stillmast/record/fold';
import { EntrySet } from '@stillmast/record/set';
import { expect } from 'vitest';
import { type Opened, type Person, remark } from './crew.js';
import { RawClient } from './raw-client.js';

export const COMMITS = 40;

/** All of 1 … `last` when `STILLMAST_LONG` is set, else every `step`-th, so that the short run meets each phase. */
export function positions(last: number, step: number): number[] {
	const all = Array.from({ length: last }, (_, index) => index + 1);
	return process.env.STILLMAST_LONG ? all : all.filter((n) => n % step === 1);
}

/** A device that writes through whatever the host goes through. */
export interface Diarist {
	readonly written: readonly Entry[];
	/** What the host has said to be stored, on any connection. */
	readonly acknowledged: readonly Entry[];
	/**
	 * Writes one entry and waits until it is stored, or until the connection ends.
	 * @returns true when it is stored
	 */
	write(): Promise<boolean>;
	/** Connects anew, as often as it takes, and sends again, byte for byte, what is not acknowledged. */
	comeBack(url: string): Promise<void>;
	leave(): Promise<void>;
}

export async function openDiarist(url: string, check: Opened, who: Person): Promise<Diarist> {
	const written: Entry[] = [];
	const acknowledged: Entry[] = [];
	let client = await RawClient.enter(url, check.record, who);
	const open = () => written.slice(acknowledged.length);

	async function untilStored(): Promise<boolean> {
		const last = written.at(-1);
		await client.until(
			(one) => one.closed !== null || (last !== undefined && one.hasStored(last)),
			`stored ${last?.seq} or a close`,
		);
		for (const entry of open()) if (client.hasStored(entry)) acknowledged.push(entry);
		return open().length === 0;
	}

	return {
		written,
		acknowledged,
		async write() {
			const entry = await remark(check.writer, `commit ${written.length + 1}`);
			written.push(entry);
			client.sendEntries(entry);
			return untilStored();
		},
		async comeBack(url) {
			const endMs = Date.now() + 20_000;
			for (;;) {
				const again = await RawClient.enter(url, check.record, who).catch(() => null);
				if (again) {
					client = again;
					if (open().length > 0) client.sendEntries(...open());
					if (await untilStored()) return;
				}
				if (Date.now() > endMs) throw new Error(`the host takes nothing: ${JSON.stringify(client.closed)}`);
				await new Promise((resolve) => setTimeout(resolve, 20));
			}
		},
		leave: () => client.leave(),
	};
}

/** Reads the record from a host as a fresh device does, and asks the fold: everything acknowledged must count. */
export async function expectInFold(url: string, check: Opened, who: Person, acknowledged: readonly Entry[]) {
	const reader = await RawClient.enter(url, check.record, who);
	reader.sync();
	await reader.until((one) => one.received.some(({ type }) => type === 'sync-step-2'), 'the record');
	await reader.leave();
	const { judged } = fold(new EntrySet(check.record, readEntries(reader.doc).entries));
	const missing = acknowledged.filter(({ hash }) => judged.get(hash)?.judgement.state !== 'counts');
	expect(missing.map(({ seq }) => seq)).toEqual([]);
}
