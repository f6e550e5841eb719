import { readFileSync } from 'node:fs';
import type { Entry } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { EntrySet, exportRecord, fold, importRecord, readRecordFile, toSign, verifyRecordFile } from '../src/index.js';
import { crew, type Hand, hover, seededNumbers, shuffled, testBlobs } from './world/people.js';

/** `STILLMAST_LONG=1` runs the long sizes. */
const LONG = process.env.STILLMAST_LONG === '1';
const FLIPS = LONG ? 37_000 : 2_000;
const REPLICAS = LONG ? 1_000 : 60;
const LATE_RUNS = LONG ? 500 : 40;
/** Long sizes on a loaded machine. */
const PATIENCE_MS = LONG ? 1_800_000 : 120_000;

const golden = new Uint8Array(readFileSync(new URL('golden/every-kind.check.json', import.meta.url)));

async function sign(hand: Hand, role: 'pilot' | 'engineer'): Promise<void> {
	const terms = toSign(hand.set, fold(hand.set));
	if (!terms.ok) throw new Error(terms.problem.code);
	await hand.write('signature', { ...terms.value, name: role, licence: '', role, statement: 'I have read it.' });
}

describe('signed is honest', () => {
	it(
		`[REC-84] each of ${FLIPS} flipped bytes of a signed file is found, and told where`,
		async () => {
			const next = seededNumbers(37);
			let missed = 0;
			let untold = 0;
			for (let i = 0; i < FLIPS; i++) {
				// The long size takes every byte in turn first; the bit is drawn.
				const at = LONG && i < golden.length ? i : Math.floor(next() * golden.length);
				const flipped = golden.slice();
				flipped[at] = (flipped[at] ?? 0) ^ (1 << Math.floor(next() * 8));
				const { faults } = readRecordFile(flipped);
				// What the bytes do not tell, signatures must.
				const [first] = faults.length > 0 ? faults : (await verifyRecordFile(flipped)).faults;
				if (first === undefined) missed++;
				else if ((first.entry ?? first.path ?? first.offset) === undefined) untold++;
			}
			expect({ missed, untold }).toEqual({ missed: 0, untold: 0 });
		},
		PATIENCE_MS,
	);

	it(
		`[REC-80] no false alarm over ${REPLICAS} replicas that heard in different orders`,
		async () => {
			const imported = await importRecord(golden, null);
			if (!imported.ok) throw new Error(imported.problem.code);
			const { set, blobs, record } = imported.value;
			const text = new TextDecoder().decode(golden);
			for (let seed = 0; seed < REPLICAS; seed++) {
				const replica = new EntrySet(record, shuffled(set.inOrder(), seed));
				const exported = exportRecord(replica, (hash) => blobs.get(hash)).text;
				expect(exported === text, `seed ${seed}`).toBe(true);
				expect(await verifyRecordFile(exported)).toMatchObject({ signedAndWhole: true, faults: [] });
			}
		},
		PATIENCE_MS,
	);

	it(
		`[REC-71] in ${LATE_RUNS} seeded records every late entry is listed as added, and no other`,
		async () => {
			for (let seed = 0; seed < LATE_RUNS; seed++) {
				const next = seededNumbers(seed);
				const { engineer, pilot, hear } = await crew();
				const write = (hand: Hand) =>
					hand.write('vibration', { ...hover, run: 1 + Math.floor(next() * 5), amplitudeIps: next(), phaseDeg: 0 });
				for (let i = 0; i < 6; i++) await write(next() < 0.5 ? engineer : pilot);
				hear();
				// Written by the pilot out of reach, before and after the engineer has signed.
				const away: Entry[] = [];
				for (let i = Math.floor(next() * 3); i > 0; i--) away.push((await write(pilot)) as unknown as Entry);
				await sign(engineer, 'engineer');
				for (let i = Math.floor(next() * 3); i > 0; i--) away.push((await write(pilot)) as unknown as Entry);
				const own: Entry[] = [];
				for (let i = Math.floor(next() * 3); i > 0; i--) own.push((await write(engineer)) as unknown as Entry);
				hear();
				const [content] = fold(engineer.set).signing.contents;
				expect(content?.signatures.map(({ cover }) => cover)).toEqual(['holds']);
				expect([...(content?.added ?? [])].sort()).toEqual([...away, ...own].map(({ hash }) => hash).sort());
			}
		},
		PATIENCE_MS,
	);
});

describe('testBlobs', () => {
	it('[REC-80] blobs are named by what they hold', async () => {
		const { engineer } = await crew();
		const swapped = [...testBlobs.keys()].reverse();
		const [one, other] = [...testBlobs.keys()] as [string, string];
		const wrong = new Map([
			[one, testBlobs.get(swapped[0] ?? '')],
			[other, testBlobs.get(swapped[1] ?? '')],
		]);
		const report = await verifyRecordFile(exportRecord(engineer.set, (hash) => wrong.get(hash)).text);
		expect(report.faults.map(({ code }) => code)).toEqual([
			'blob-unsound',
			'blob-unsound',
			'blob-missing',
			'blob-missing',
		]);
	});
});
