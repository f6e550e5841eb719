import { ok, type Problem, type Result } from '@stillmast/core/result';
import type { FieldsOf } from '@stillmast/formats/entry';
import { ChainWriter, exportRecord, hashBytes, openKey, openRecord, softwareKey } from '@stillmast/record';
import { keepFile } from '@stillmast/record/client';
import type { Device } from '$lib/live/device.js';
import { makePen } from '$lib/live/pens.js';
import { type SampleCheck, sampleLines } from './sample-lines.js';
import { wrongBlade } from './wrong-blade.js';

/** Name of the visitor's pen in the sample check, and its code, both said on the screen. */
export const samplePen = { name: 'E (you, looking around)', licence: '', code: '0000' } as const;

const entryEveryMs = 90_000;

/**
 * Opens the sample with one planted mistake, or finds the one this device has. It is written here and kept here: no
 * host gets it. The visitor holds the engineer's pen; the pilot's key is made for it and thrown away.
 * @returns the record's id
 */
export async function openLookAround(device: Device): Promise<Result<string, Problem>> {
	const rows = await device.store.all('records');
	if (!rows.ok) return rows;
	const here = rows.value.find(({ hostName, name }) => hostName === null && name === samplePen.name);
	if (here !== undefined) return ok(here.key);
	const sample = wrongBlade();
	return sample.ok ? writeLookAround(device, sample.value) : sample;
}

async function writeLookAround(device: Device, sample: SampleCheck): Promise<Result<string, Problem>> {
	const pen = await makePen(device, samplePen);
	if (!pen.ok) return pen;
	const lines = sampleLines(sample);
	// as if the last of it had just been written
	let nowMs = device.clock.nowMs() - (lines.length + 2) * entryEveryMs;
	const clock = { nowMs: () => (nowMs += entryEveryMs), upMs: () => nowMs, clock: () => null };
	const hand = { random: device.random, clock, unlocked: 'by-code' } as const;
	const pilotKey = openKey(softwareKey(device.random(32)));
	const blobs = new Map(sample.documents.map((text) => blobOf(text)));
	const [card = '', typeData = ''] = blobs.keys();
	const opened = await openRecord(
		{ ...hand, key: pen.value.key },
		{
			purpose: 'demo',
			role: 'engineer',
			name: samplePen.name,
			aircraft: { registration: sample.registration, type: sample.typeData.type, serial: '0012' },
			card,
			typeData,
		},
	);
	if (!opened.ok) return opened;
	const { set, writer: engineer } = opened.value;
	const pilot = new ChainWriter(set, { ...hand, key: pilotKey });
	const enrolled = { publicKey: pilotKey.publicKey, role: 'pilot', name: 'P (demo pilot)', invite: null } as const;
	for (const [by, kind, fields] of [['engineer', 'enrolled', enrolled] as const, ...lines]) {
		const written = await (by === 'engineer' ? engineer : pilot).write(kind, fields as FieldsOf<typeof kind>);
		if (!written.ok) return written;
	}
	const kept = await keepFile({ ...device, network: null }, exportRecord(set, (hash) => blobs.get(hash)).text);
	if (!kept.ok) return kept;
	const row = await device.store.put('records', {
		key: set.record,
		hostName: null,
		hostKey: null,
		penKey: pen.value.key.publicKey,
		role: 'engineer',
		name: samplePen.name,
		openedAtMs: device.clock.nowMs(),
		storedHeads: [],
		lastContactMs: null,
	});
	return row.ok ? ok(set.record) : row;
}

function blobOf(text: string): readonly [string, Uint8Array] {
	const bytes = new TextEncoder().encode(text);
	return [hashBytes(bytes), bytes];
}
