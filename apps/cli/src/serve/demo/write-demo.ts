import type { Reading, Run } from '@stillmast/core/balance';
import { ok, type Problem, type Result } from '@stillmast/core/result';
import type { FieldsOf, Kind } from '@stillmast/formats/entry';
import { exportRecord } from '@stillmast/record/file';
import { canonicalJson, hashBytes } from '@stillmast/record/hash';
import { openKey, type Random, softwareKey } from '@stillmast/record/pen';
import { ChainWriter, openRecord, type WriterClock } from '@stillmast/record/writer';
import type { DemoScenario } from './scenario.js';

const utf8 = new TextEncoder();
const engineerName = 'E (demo engineer)';
const pilotName = 'P (demo pilot)';

/** One entry to write: whose pen, which kind, which fields. */
type Line = { readonly [K in Kind]: readonly ['engineer' | 'pilot', K, FieldsOf<K>] }[Kind];

/**
 * Writes the demo flight as an engineer and a pilot would have: settings found, flight 1 flown and read, back on the
 * ground with the adjustment still to be chosen. Their keys are made for this and kept nowhere.
 * @returns the record file, of purpose demo
 */
export async function writeDemo(
	{ card, typeData, rotor }: DemoScenario,
	hostPublicKey: string,
	{ random, clock }: { readonly random: Random; readonly clock: WriterClock },
): Promise<Result<string, Problem>> {
	const blobs = new Map([card, typeData].map((document) => blobOf(document)));
	const [cardHash = '', typeHash = ''] = blobs.keys();
	const pen = () => ({ key: openKey(softwareKey(random(32))), random, clock, unlocked: 'by-code' as const });
	const engineerPen = pen();
	const pilotPen = pen();
	const opened = await openRecord(engineerPen, {
		purpose: 'demo',
		role: 'engineer',
		name: engineerName,
		aircraft: { registration: 'ZZ-LMW', type: typeData.type, serial: '0307' },
		card: cardHash,
		typeData: typeHash,
	});
	if (!opened.ok) return opened;
	const { set, writer: engineer } = opened.value;
	const pilot = new ChainWriter(set, pilotPen);
	const enrolments: readonly Line[] = [
		['engineer', 'enrolled', { publicKey: hostPublicKey, role: 'host', name: 'this host', invite: null }],
		['engineer', 'enrolled', { publicKey: pilotPen.key.publicKey, role: 'pilot', name: pilotName, invite: null }],
	];
	const [run] = rotor.runs ?? [];
	for (const [by, kind, fields] of [
		...enrolments,
		...(run === undefined ? [] : flownLines(rotor.rotor.id, run, typeData)),
	]) {
		const written = await (by === 'engineer' ? engineer : pilot).write(kind, fields as FieldsOf<typeof kind>);
		if (!written.ok) return written;
	}
	return ok(exportRecord(set, (hash) => blobs.get(hash)).text);
}

function blobOf(document: unknown): readonly [string, Uint8Array] {
	const bytes = utf8.encode(canonicalJson(document));
	return [hashBytes(bytes), bytes];
}

function flownLines(
	rotorId: string,
	{ settings = {}, readings }: Run,
	typeData: DemoScenario['typeData'],
): readonly Line[] {
	const tail = typeData.rotors.find((rotor) => rotor.id === 'tail');
	const tailFound = Object.fromEntries((tail?.adjusters ?? []).map((adjuster) => [adjuster.id, 0]));
	const step = (id: string): Line => ['pilot', 'step', { flight: 1, step: id, state: 'done' }];
	return [
		['engineer', 'header', { field: 'airframeHours', value: 4182.3, unit: 'h' }],
		['engineer', 'header', { field: 'workOrder', value: 'main gearbox changed', unit: '' }],
		['engineer', 'adjustment', { rotor: rotorId, after: 0, stage: 'found', settings }],
		['engineer', 'adjustment', { rotor: 'tail', after: 0, stage: 'found', settings: tailFound }],
		[
			'pilot',
			'flight',
			{
				flight: 1,
				state: 'opened',
				crew: [
					{ seat: 'pilot', name: pilotName },
					{ seat: 'left', name: engineerName },
				],
				massKg: 2060,
				fuelKg: 310,
				weather: { oatC: 12, qnhHpa: 1016, windFromDeg: 240, windKt: 6 },
			},
		],
		['pilot', 'run', { flight: 1, run: 1, state: 'begun', regime: null }],
		step('walk-round'),
		...Object.entries(readings).map(([channel, reading]) => vibration(rotorId, channel, reading)),
		// Invented, inside the limit and not yet the goal: the tail needs a look too, but not first.
		vibration('tail', 'ground/gearbox', { amplitudeIps: 0.18, phaseDeg: 212 }),
		...['ground-run', 'lift-off', 'hover', 'level-80', 'level-110', 'land'].map(step),
		[
			'pilot',
			'reading',
			{ flight: 1, run: 1, step: 'level-110', subject: 'torque-110', value: 81.5, unit: '%', resolution: 0.5 },
		],
		['pilot', 'run', { flight: 1, run: 1, state: 'ended', regime: null }],
		[
			'pilot',
			'flight',
			{ flight: 1, state: 'closed', text: 'Lateral beat in every regime, vertical grows with speed.' },
		],
	];
}

function vibration(rotor: string, channel: string, { amplitudeIps, phaseDeg }: Reading): Line {
	return [
		'pilot',
		'vibration',
		{
			flight: 1,
			run: 1,
			rotor,
			channel,
			amplitudeIps,
			phaseDeg: phaseDeg ?? null,
			resolutionIps: 0.01,
			resolutionDeg: 1,
		},
	];
}
