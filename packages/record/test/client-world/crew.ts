import type { Entry, FieldsOf } from '@stillmast/formats/entry';
import { type ChainWriter, type EntrySet, openKey, openRecord, type PenKey, softwareKey } from '../../src/index.js';
import { seededRandom } from './clock.js';

/** Invented: Lynmoor Air Works, type Ouzel 3. */
export const OPENED: Omit<FieldsOf<'opened'>, 'nonce'> = {
	purpose: 'demo',
	role: 'engineer',
	name: 'Engineer at the bench',
	aircraft: { registration: 'ZZ-TST', type: 'Ouzel 3', serial: 'invented 1' },
	card: 'A'.repeat(43),
	typeData: 'A'.repeat(43),
};

export async function penKey(seed: number): Promise<PenKey> {
	return openKey(await softwareKey(seededRandom(seed)(32)));
}

export function writerOptions(key: PenKey, seed: number) {
	let up = 0;
	return {
		key,
		random: seededRandom(seed),
		clock: { nowMs: () => Date.UTC(2026, 4, 1, 8) + up, upMs: () => ++up, clock: () => null },
		unlocked: 'by-code',
	} as const;
}

/** An opened record with `count` remarks by its creator. */
export async function smallRecord(
	seed: number,
	count: number,
): Promise<{ set: EntrySet; key: PenKey; entries: readonly Entry[]; writer: ChainWriter }> {
	const key = await penKey(seed);
	const opened = await openRecord(writerOptions(key, seed + 1), OPENED);
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	const { set, writer } = opened.value;
	for (let n = 1; n <= count; n++) {
		const written = await writer.write('remark', { to: null, asks: false, text: `remark ${n}` });
		if (!written.ok) throw new Error(JSON.stringify(written.problem));
	}
	return { set, key, entries: [...set.inOrder()], writer };
}
