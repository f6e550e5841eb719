import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { holdFolder } from '../src/data-folder/folder.js';
import { main } from '../src/index.js';
import { type ExampleRecord, exampleRecord } from './record-example.js';
import { testIo } from './test-io.js';

async function stillmast(...args: readonly string[]) {
	const { io, said } = testIo();
	const status = await main(args, io);
	return { status, ...said };
}

let folder = '';
let example: ExampleRecord;
const path = (name: string): string => join(folder, name);
beforeAll(async () => {
	folder = mkdtempSync(join(tmpdir(), 'stillmast-records-'));
	example = await exampleRecord();
	for (const name of ['unsigned', 'signed', 'addedTo'] as const)
		writeFileSync(path(`${name}.check.json`), example[name]);
});
afterAll(() => rmSync(folder, { recursive: true }));

describe('stillmast verify', () => {
	it('gives 0 for a file that is signed by all who were asked and whole', async () => {
		const { status, out } = await stillmast('verify', path('signed.check.json'));
		expect(status).toBe(0);
		expect(out).toContain('WHOLE and SIGNED\n');
		expect(out).toContain(example.record);
	});

	it.each([
		['unsigned', 'WHOLE and NOT SIGNED'],
		['addedTo', 'WHOLE and ADDED TO AFTER SIGNING'],
	])('gives 1 for a file that is whole and %s', async (name, words) => {
		const { status, out } = await stillmast('verify', path(`${name}.check.json`));
		expect(status).toBe(1);
		expect(out).toContain(words);
	});

	it('--trust gives 0 for the creator’s key, 1 for another and 2 for what is no fingerprint', async () => {
		const file = path('signed.check.json');
		expect((await stillmast('verify', file, '--trust', example.creator)).status).toBe(0);
		const other = await stillmast('verify', file, '--trust', example.record);
		expect(other.status).toBe(1);
		expect(other.out).toContain('no key that was trusted');
		expect((await stillmast('verify', file, '--trust', example.record, '--trust', example.creator)).status).toBe(0);
		expect((await stillmast('verify', file, '--trust', 'me')).status).toBe(2);
	});

	it('names the entry that was altered', async () => {
		writeFileSync(path('altered.check.json'), example.signed.replace('"amplitudeIps":0.31', '"amplitudeIps":0.21'));
		const { status, out } = await stillmast('verify', path('altered.check.json'), '--json');
		const { firstFault, faults, signedAndWhole } = JSON.parse(out);
		expect({ status, signedAndWhole }).toEqual({ status: 1, signedAndWhole: false });
		expect(faults[0].entry.kind).toBe('vibration');
		expect(firstFault).toContain('(vibration)');
	});

	it('gives 1 for any of 200 sampled bytes with one bit flipped', async () => {
		const sound = readFileSync(path('signed.check.json'));
		const passed: number[] = [];
		for (let sample = 0; sample < 200; sample++) {
			const at = Math.floor(((sample + 0.5) / 200) * sound.length);
			const flipped = Buffer.from(sound);
			flipped.writeUInt8(flipped.readUInt8(at) ^ (1 << (sample % 8)), at);
			writeFileSync(path('flipped.check.json'), flipped);
			const { status } = await stillmast('verify', path('flipped.check.json'));
			if (status !== 1) passed.push(at);
		}
		expect(passed).toEqual([]);
	}, 60_000);

	it('gives 2 for a file that is not there and for two files', async () => {
		expect((await stillmast('verify', path('nowhere'))).status).toBe(2);
		expect((await stillmast('verify', 'a', 'b')).status).toBe(2);
		expect((await stillmast('verify')).status).toBe(2);
	});
});

describe('stillmast import and export', () => {
	it('adds what is new, tells from whom, and exports the same bytes', async () => {
		const data = path('data-1');
		const dry = await stillmast('import', path('unsigned.check.json'), '--data', data, '--dry-run');
		expect(dry.out).toContain('7 new entries would be added');
		const first = await stillmast('import', path('unsigned.check.json'), '--data', data);
		expect({ status: first.status, err: first.err }).toEqual({ status: 0, err: '' });
		expect(first.out).toMatch(/7 new entries added\n +3 of E, engineer\n +4 of =P/);
		expect((await stillmast('export', example.record, '--data', data)).out).toBe(example.unsigned);

		const more = await stillmast('import', path('signed.check.json'), '--data', data);
		expect(more.out).toContain('2 new entries added');
		expect((await stillmast('import', path('signed.check.json'), '--data', data)).out).toContain('nothing new');
		const again = await stillmast(
			'export',
			example.record.slice(0, 8),
			'--data',
			data,
			'--out',
			path('out.check.json'),
		);
		expect(again).toEqual({ status: 0, out: '', err: '' });
		expect(readFileSync(path('out.check.json'), 'utf8')).toBe(example.signed);
		expect((await stillmast('export', example.record, '--data', data, '--out', path('out.check.json'))).status).toBe(2);
		expect((await stillmast('verify', path('out.check.json'))).status).toBe(0);
	}, 30_000);

	it('exports every value as a row, without letting a name become a formula', async () => {
		const data = path('data-2');
		await stillmast('import', path('signed.check.json'), '--data', data);
		const { out } = await stillmast('export', example.record, '--format', 'csv', '--data', data);
		const rows = out.split('\r\n');
		expect(rows[0]).toBe('flight,run,kind,subject,value,unit,phaseDeg,standing,at,by,role,hash');
		expect(rows.slice(1, -1).map((row) => row.split(',').slice(0, 8).join(','))).toEqual([
			'1,1,vibration,main/hover/lat,0.31,ips,118,counts',
			'1,1,reading,torquePct,61.5,%,,counts',
			'1,,adjustment,main/plate-A made,2,,,counts',
		]);
		expect(rows[1]).toContain(",'=P,pilot,");
		expect(rows[3]).toContain(',"E, engineer",engineer,');
	}, 30_000);

	it('a file that is not in order leaves nothing behind', async () => {
		const data = path('data-3');
		writeFileSync(path('cut.check.json'), example.signed.slice(0, -40));
		const { status, err } = await stillmast('import', path('cut.check.json'), '--data', data);
		expect(status).toBe(1);
		expect(err).toContain('not JSON');
		expect(existsSync(data)).toBe(false);
	});

	it('refuses a folder that another program holds, and takes one that a dead program left', async () => {
		const data = path('data-4');
		const held = await holdFolder(data);
		expect(held.ok).toBe(true);
		writeFileSync(join(data, 'in-use'), String(process.ppid));
		const { status, err } = await stillmast('import', path('signed.check.json'), '--data', data);
		expect(status).toBe(2);
		expect(err).toContain('another program uses this folder');
		if (held.ok) await held.value.store.close();
		// No process has a number this high: Linux ends at 4 194 304.
		writeFileSync(join(data, 'in-use'), '99999999');
		expect((await stillmast('import', path('signed.check.json'), '--data', data)).status).toBe(0);
		expect(readdirSync(data)).not.toContain('in-use');
	}, 30_000);

	it('names what is kept when the record is not there, and makes no folder by asking', async () => {
		const data = path('data-2');
		const { status, err } = await stillmast('export', 'zzz', '--data', data);
		expect(status).toBe(2);
		expect(err).toContain(example.record);
		expect((await stillmast('export', 'zzz', '--data', path('nowhere'))).status).toBe(2);
		expect(existsSync(path('nowhere'))).toBe(false);
		expect((await stillmast('export', example.record, '--format', 'pdf', '--data', data)).status).toBe(2);
	});
});
