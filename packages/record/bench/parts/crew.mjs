// Invented people who write one record, and what they write.
import { randomFillSync } from 'node:crypto';
import { createKey, openKey } from '../../dist/pen/index.js';
import { EntrySet } from '../../dist/set/index.js';
import { ChainWriter, openRecord } from '../../dist/writer/index.js';

const random = (length) => randomFillSync(new Uint8Array(length));
const clock = {
	nowMs: Date.now,
	upMs: () => performance.now(),
	clock: () => ({ offsetMs: 12.5, errorMs: 4, ageS: 3 }),
};

export const newPen = async () => ({ key: openKey(await createKey(random)), random, clock, unlocked: 'by-code' });

export function must(result) {
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
}

/** The n-th thing written: a reading or a vibration, 500 a flight, many of them about what was measured before. */
export function saying(n) {
	const place = { flight: 1 + Math.floor(n / 500), run: 1 };
	if (n % 3 === 0) return ['reading', { ...place, subject: `field-${n % 300}`, value: n, unit: '%' }];
	const measured = { amplitudeIps: (n % 90) / 100, phaseDeg: n % 360 };
	return ['vibration', { ...place, rotor: 'main', channel: `regime-${n % 40}/lat`, ...measured }];
}

/** Five people on one record and `count` entries of theirs; two more who were away, and 2 000 of theirs. */
export async function writeRecord(count) {
	const none = 'A'.repeat(43);
	const aircraft = { registration: 'ZZ-TST', type: 'Ouzel 3', serial: '' };
	const first = await newPen();
	const fields = { purpose: 'flight', role: 'engineer', name: 'one', aircraft, card: none, typeData: none };
	const { set, writer } = must(await openRecord(first, fields));
	const others = await Promise.all(Array.from({ length: 6 }, newPen));
	for (const { key } of others) {
		must(await writer.write('enrolled', { publicKey: key.publicKey, role: 'engineer', name: 'x', invite: null }));
	}
	const away = new EntrySet(set.record, set.inOrder());
	const hands = [writer, ...others.slice(0, 4).map((pen) => new ChainWriter(set, pen))];
	for (let n = 0; n < count; n++) must(await hands[n % hands.length].write(...saying(n)));
	const awayHands = others.slice(4).map((pen) => new ChainWriter(away, pen));
	const known = away.size;
	for (let n = 0; n < 2_000; n++) must(await awayHands[n % 2].write(...saying(n)));
	return { record: set.record, entries: set.inOrder(), late: away.arrivedSince(known), pen: first };
}
