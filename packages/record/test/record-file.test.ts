import type { Entry } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import {
	canonicalJson,
	EntrySet,
	exportRecord,
	fold,
	hashJson,
	importRecord,
	toSign,
	verifyRecordFile,
} from '../src/index.js';
import {
	crew,
	enrolHand,
	type Hand,
	hover,
	newHand,
	openTestRecord,
	seededNumbers,
	shuffled,
	testBlobs,
} from './world/people.js';

const blob = (hash: string) => testBlobs.get(hash);

/** A record with readings by two people, signed by both. */
async function signedRecord(): Promise<{ engineer: Hand; pilot: Hand; text: string }> {
	const { engineer, pilot, hear } = await crew();
	await engineer.write('vibration', { ...hover, amplitudeIps: 0.31, phaseDeg: 118 });
	await pilot.write('remark', { to: null, asks: false, text: 'smooth “enough” — 92 % über alles' });
	hear();
	for (const [hand, role] of [
		[pilot, 'pilot'],
		[engineer, 'engineer'],
	] as const) {
		const terms = toSign(hand.set, fold(hand.set));
		if (!terms.ok) throw new Error('cannot sign');
		await hand.write('signature', { ...terms.value, name: role, licence: 'L-1', role, statement: 'I have read it.' });
		hear();
	}
	return { engineer, pilot, text: exportRecord(engineer.set, blob).text };
}

interface FileJson {
	format: string;
	record: string;
	entries: Entry[];
	blobs: Record<string, string>;
	digest: string;
}

/** The file after `change`, with a digest that fits again: only what the entries say of themselves is left to find it. */
function changed(text: string, change: (file: FileJson) => void): string {
	const file = JSON.parse(text) as FileJson;
	change(file);
	const { digest: _, ...content } = file;
	return canonicalJson({ ...content, digest: hashJson(content) });
}

describe('exportRecord(set, blob)', () => {
	it('[REC-80] two replicas with the same set export the same bytes, in whatever order they heard', async () => {
		const { engineer, text } = await signedRecord();
		for (let seed = 0; seed < 20; seed++) {
			const replica = new EntrySet(engineer.set.record, shuffled(engineer.set.inOrder(), seed));
			expect(exportRecord(replica, blob)).toEqual({ text, missingBlobs: [] });
		}
	});

	it('[REC-80] is its own RFC 8785 form, in total order, with the blobs that the entries rest on', async () => {
		const { engineer, text } = await signedRecord();
		const file = JSON.parse(text) as FileJson;
		expect(canonicalJson(file)).toBe(text);
		expect(file.format).toBe('stillmast/check@1');
		expect(file.entries.map(({ hash }) => hash)).toEqual(engineer.set.inOrder().map(({ hash }) => hash));
		expect(Object.keys(file.blobs).sort()).toEqual([...testBlobs.keys()].sort());
	});

	it('[REC-80] names the blobs that are not here', async () => {
		const { engineer } = await signedRecord();
		const { text, missingBlobs } = exportRecord(engineer.set, () => undefined);
		expect(missingBlobs).toEqual([...testBlobs.keys()].sort());
		const report = await verifyRecordFile(text);
		expect(report.whole).toBe(false);
		expect(report.faults.map(({ code }) => code)).toEqual(['blob-missing', 'blob-missing']);
	});
});

describe('verifyRecordFile(file, options)', () => {
	it('[REC-82] a signed record file is signed and whole, as text and as bytes', async () => {
		const { text, engineer } = await signedRecord();
		for (const file of [text, new TextEncoder().encode(text)]) {
			const report = await verifyRecordFile(file);
			expect(report.faults).toEqual([]);
			expect(report).toMatchObject({
				whole: true,
				signedAndWhole: true,
				purpose: 'flight',
				entries: engineer.set.size,
			});
		}
	});

	it('[REC-82] an unsigned one is whole and not signed', async () => {
		const { engineer } = await crew();
		const report = await verifyRecordFile(exportRecord(engineer.set, blob).text);
		expect(report).toMatchObject({ whole: true, signedAndWhole: false });
	});

	it('[REC-84] every one of 200 sampled bytes flipped is found', async () => {
		const { text } = await signedRecord();
		const bytes = new TextEncoder().encode(text);
		const next = seededNumbers(200);
		for (let i = 0; i < 200; i++) {
			const at = Math.floor(next() * bytes.length);
			const bit = 1 << Math.floor(next() * 8);
			const flipped = bytes.slice();
			flipped[at] = (flipped[at] ?? 0) ^ bit;
			const report = await verifyRecordFile(flipped);
			expect(report.whole, `byte ${at} bit ${bit}`).toBe(false);
			const [first] = report.faults;
			// It is told where: by entry, else by path, else by place.
			expect(first?.entry ?? first?.path ?? first?.offset, `byte ${at} bit ${bit}`).toBeDefined();
		}
	});

	it('[REC-84] a byte flipped within an entry names that entry first', async () => {
		const { text, engineer } = await signedRecord();
		const entry = engineer.set.inOrder().find(({ kind }) => kind === 'vibration') as Entry;
		const index = engineer.set.inOrder().indexOf(entry);
		const at = text.indexOf('"amplitudeIps":0.31') + '"amplitudeIps":0.3'.length;
		const report = await verifyRecordFile(`${text.slice(0, at)}7${text.slice(at + 1)}`);
		expect(report.faults[0]).toMatchObject({
			code: 'entry-unsound',
			entry: { index, kind: 'vibration', seq: entry.seq },
		});
	});

	it.each<[string, (text: string) => string, object]>([
		['a space', (text) => text.replace('{"blobs":', '{ "blobs":'), { code: 'not-canonical', offset: 1 }],
		['an end of line', (text) => `${text}\n`, { code: 'not-canonical' }],
		[
			'members in another order',
			(text) => text.replace('"observed":null,"phaseDeg":118', '"phaseDeg":118,"observed":null'),
			{ code: 'not-canonical', entry: { kind: 'vibration' } },
		],
		[
			'a number in another spelling',
			(text) => text.replace(':0.31,', ':3.1e-1,'),
			{ code: 'not-canonical', entry: { kind: 'vibration' } },
		],
		[
			'an escaped letter',
			(text) => text.replace('smooth', '\\u0073mooth'),
			{ code: 'not-canonical', entry: { kind: 'remark' } },
		],
		['a name twice', (text) => text.replace('"seq":1,', '"seq":1,"seq":1,'), { code: 'not-json' }],
		['a byte-order mark', (text) => `\ufeff${text}`, { code: 'not-canonical', offset: 0 }],
		['a cut', (text) => text.slice(0, -1), { code: 'not-json' }],
		['nothing', () => '', { code: 'not-json' }],
		['another document', () => '{"format":"stillmast/rotor@1"}', { code: 'not-a-record-file' }],
		['a list', () => '[]', { code: 'not-a-record-file', path: '$' }],
		['deep nesting', () => '['.repeat(10_000) + ']'.repeat(10_000), { code: 'not-json' }],
	])('[REC-81] finds %s', async (_, change, fault) => {
		const { text } = await signedRecord();
		const report = await verifyRecordFile(change(text));
		expect(report).toMatchObject({ whole: false, signedAndWhole: false });
		expect(report.faults[0]).toMatchObject(fault);
	});

	it('[REC-81] tells where bytes are not UTF-8', async () => {
		const { text } = await signedRecord();
		const bytes = new TextEncoder().encode(text);
		bytes[100] = 0xff;
		expect((await verifyRecordFile(bytes)).faults).toEqual([{ code: 'not-utf-8', offset: 100 }]);
	});

	it.each<[string, (file: FileJson) => void, string]>([
		['an entry left out', (file) => file.entries.splice(2, 1), 'entry-waits'],
		['the last entry of a chain left out, which another names', (file) => file.entries.splice(3, 1), 'entries-missing'],
		['the first entry left out', (file) => file.entries.shift(), 'first-entry-missing'],
		[
			'two entries in another order',
			(file) => file.entries.splice(1, 2, file.entries[2] as Entry, file.entries[1] as Entry),
			'entry-order',
		],
		['an entry twice', (file) => file.entries.splice(1, 0, file.entries[1] as Entry), 'entry-order'],
		[
			'a signature of another entry',
			(file) => Object.assign(file.entries[1] as Entry, { sig: file.entries[2]?.sig }),
			'signature-wrong',
		],
		[
			'a blob altered',
			(file) => Object.assign(file.blobs, { [Object.keys(file.blobs)[0] ?? '']: 'AAAA' }),
			'blob-unsound',
		],
		[
			'a blob more',
			(file) => Object.assign(file.blobs, { '47DEQpj8HBSa-_TImW-5JCeuQeRkm5NMpJWZG3hSuFU': '' }),
			'blob-spare',
		],
		['a member more', (file) => Object.assign(file, { note: 'x' }), 'not-a-record-file'],
	])('[REC-82] finds %s though the digest fits', async (_, change, code) => {
		const { text } = await signedRecord();
		const report = await verifyRecordFile(changed(text, change));
		expect(report.whole).toBe(false);
		expect(report.faults.map((fault) => fault.code)).toContain(code);
	});

	it('[REC-82] checks the signature of every single entry, the first and the last included', async () => {
		const { text, engineer } = await signedRecord();
		for (const [index, { hash }] of engineer.set.inOrder().entries()) {
			const other = engineer.set.inOrder()[(index + 1) % engineer.set.size] as Entry;
			const swapped = changed(text, (file) => Object.assign(file.entries[index] as Entry, { sig: other.sig }));
			const report = await verifyRecordFile(swapped);
			expect(report.faults[0], `entry ${index}`).toMatchObject({ code: 'signature-wrong', entry: { index, hash } });
		}
	});

	it('[REC-82] finds a digest that does not fit', async () => {
		const { text } = await signedRecord();
		const file = JSON.parse(text) as FileJson;
		const report = await verifyRecordFile(canonicalJson({ ...file, digest: file.record }));
		expect(report.faults).toMatchObject([{ code: 'digest-differs', path: '$.digest' }]);
	});

	it('[REC-82] an entry re-hashed and signed anew by another key is not the person’s', async () => {
		const { engineer, text } = await signedRecord();
		const stranger = newHand(engineer.set, 60);
		const forged = (await stranger.write('vibration', {
			...hover,
			amplitudeIps: 0.05,
			phaseDeg: 1,
		})) as unknown as Entry;
		const set = new EntrySet(engineer.set.record, [...engineer.set.inOrder(), forged]);
		const report = await verifyRecordFile(exportRecord(set, blob).text);
		// Kept and told, never counted: the record is whole, the signature untouched by it.
		expect(report).toMatchObject({ whole: true, signedAndWhole: true });
		expect(report.notCounted).toMatchObject([
			{ entry: { hash: forged.hash }, judgement: { state: 'waits', for: 'enrolment' } },
		]);
		expect(text).not.toContain(forged.hash);
	});

	it('[REC-82] signed, then added to: whole, and no longer signed', async () => {
		const { engineer } = await signedRecord();
		await engineer.write('vibration', { ...hover, run: 2, amplitudeIps: 0.2, phaseDeg: 10 });
		const report = await verifyRecordFile(exportRecord(engineer.set, blob).text);
		expect(report).toMatchObject({ whole: true, signedAndWhole: false, signing: { state: 'added-after-signing' } });
	});

	it('[REC-82] trust: the creator’s key, or a host’s that wrote here; not one that is only named', async () => {
		const { engineer, hear } = await crew();
		const host = await enrolHand(engineer, 'host', 7);
		const named = await enrolHand(engineer, 'host', 8);
		await enrolHand(host, 'support', 9);
		engineer.hear(host.set);
		hear();
		const { text } = exportRecord(engineer.set, blob);
		const whole = async (...trust: string[]) => (await verifyRecordFile(text, { trust })).whole;
		expect(await whole(engineer.key.fingerprint)).toBe(true);
		expect(await whole(host.key.fingerprint)).toBe(true);
		expect(await whole('A'.repeat(43), host.key.fingerprint)).toBe(true);
		expect(await whole(named.key.fingerprint)).toBe(false);
		expect(await whole('A'.repeat(43))).toBe(false);
	});

	it('[REC-82] tells of two entries of one chain and seq', async () => {
		const { engineer } = await crew();
		const copy = newHand(engineer.set, 1);
		const first = (await copy.write('remark', { to: null, asks: false, text: 'one' })) as unknown as Entry;
		const again = newHand(engineer.set, 1);
		const other = (await again.write('remark', { to: null, asks: false, text: 'two' })) as unknown as Entry;
		expect(other.chain).toBe(first.chain);
		const set = new EntrySet(engineer.set.record, [...engineer.set.inOrder(), first, other]);
		const report = await verifyRecordFile(exportRecord(set, blob).text);
		expect(report.faults).toMatchObject([{ code: 'chain-forked', found: [first.hash, other.hash].sort() }]);
	});
});

describe('importRecord(file, here)', () => {
	it('[REC-83] brings a whole record to a device that has none of it', async () => {
		const { engineer, text } = await signedRecord();
		const imported = await importRecord(text, null);
		if (!imported.ok) throw new Error(JSON.stringify(imported.problem));
		expect(exportRecord(imported.value.set, (hash) => imported.value.blobs.get(hash)).text).toBe(text);
		expect(imported.value.fresh).toHaveLength(engineer.set.size);
		expect([...imported.value.from.values()].reduce((sum, count) => sum + count, 0)).toBe(engineer.set.size);
	});

	it('[REC-83] adds what is new and says by whom; a second time there is nothing new', async () => {
		const { engineer, pilot, hear } = await crew();
		hear();
		await engineer.write('remark', { to: null, asks: false, text: 'one' });
		await engineer.write('remark', { to: null, asks: false, text: 'two' });
		const { text } = exportRecord(engineer.set, blob);
		const imported = await importRecord(text, pilot.set);
		if (!imported.ok) throw new Error(JSON.stringify(imported.problem));
		expect([...imported.value.from]).toEqual([[engineer.key.fingerprint, 2]]);
		expect(imported.value.set.size).toBe(engineer.set.size);
		expect(await importRecord(text, imported.value.set)).toMatchObject({ ok: true, value: { fresh: [] } });
	});

	it('[REC-83] takes no unproved entry, no other record and no unsound file', async () => {
		const { text, engineer } = await signedRecord();
		const badly = changed(text, (file) => {
			// The last entry of its chain: nothing later speaks for it.
			Object.assign(file.entries.at(-1) as Entry, { sig: 'A'.repeat(86) });
		});
		const imported = await importRecord(badly, null);
		expect(imported).toMatchObject({ ok: true, value: { unproved: [{ reason: 'signature-wrong' }] } });
		expect(imported.ok && imported.value.fresh).toHaveLength(engineer.set.size - 1);
		const other = await openTestRecord(77);
		expect(await importRecord(text, other.set)).toMatchObject({ ok: false, problem: { code: 'other-record' } });
		expect(await importRecord(`${text} `, null)).toMatchObject({ ok: false, problem: { code: 'file-unsound' } });
	});
});
