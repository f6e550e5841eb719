import type { FieldsOf } from '@stillmast/formats/entry';
import { exportRecord } from '@stillmast/record/file';
import { fold, rulesOfRecord } from '@stillmast/record/fold';
import { canonicalJson, hashBytes } from '@stillmast/record/hash';
import { openKey, type Random, softwareKey } from '@stillmast/record/pen';
import { playScenario } from '@stillmast/record/scenario';
import type { EntrySet } from '@stillmast/record/set';
import { toSign } from '@stillmast/record/signing';
import { ChainWriter, openRecord } from '@stillmast/record/writer';
import { demoName, readScenarioFolder } from '../src/serve/scenario/read-folder.js';

/** Bytes from a small generator (invented, seeded), so that the example is the same in every run. */
export function seededRandom(seed: number): Random {
	let state = seed >>> 0;
	return (length) =>
		Uint8Array.from({ length }, () => {
			state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
			return state >>> 24;
		});
}

const fixedClock = { nowMs: () => Date.UTC(2026, 5, 1, 9, 0), upMs: () => 0, clock: () => null };

/** The record file of the demo flight, played with these bytes. */
export async function playedDemo(random: Random, hostPublicKey: string): Promise<string> {
	const { scenario, documents } = must(await readScenarioFolder(demoName));
	return must(await playScenario(scenario, documents, { random, hostPublicKey })).text;
}

export interface ExampleRecord {
	readonly record: string;
	/** One flight, not signed. */
	readonly unsigned: string;
	/** The same, signed by pilot and engineer. */
	readonly signed: string;
	/** The same, with a reading after the signatures. */
	readonly addedTo: string;
	/** Fingerprint of the creator's key. */
	readonly creator: string;
}

/** A small record written by two pens. Its texts are tried for what a spreadsheet and a table make of them. */
export async function exampleRecord(): Promise<ExampleRecord> {
	const random = seededRandom(7);
	const { documents } = must(await readScenarioFolder(demoName));
	const blobs = new Map(
		[documents.card, documents.typeData].map((document) => {
			const bytes = new TextEncoder().encode(canonicalJson(document));
			return [hashBytes(bytes), bytes] as const;
		}),
	);
	const [card = '', typeData = ''] = blobs.keys();
	const pen = () => ({
		key: openKey(softwareKey(random(32))),
		random,
		clock: fixedClock,
		unlocked: 'by-code' as const,
	});
	const engineerPen = pen();
	const pilotPen = pen();
	const opened = must(
		await openRecord(engineerPen, {
			purpose: 'flight',
			role: 'engineer',
			name: 'E, engineer',
			aircraft: { registration: 'ZZ-LMW', type: 'Ouzel 3', serial: '' },
			card,
			typeData,
		}),
	);
	const { set, writer: engineer } = opened;
	const pilot = new ChainWriter(set, pilotPen);
	must(
		await engineer.write('enrolled', { publicKey: pilotPen.key.publicKey, role: 'pilot', name: '=P', invite: null }),
	);
	must(await pilot.write('flight', { flight: 1, state: 'opened' }));
	must(await pilot.write('run', { flight: 1, run: 1, state: 'begun', regime: null }));
	must(
		await pilot.write('vibration', {
			flight: 1,
			run: 1,
			rotor: 'main',
			channel: 'hover/lat',
			amplitudeIps: 0.31,
			phaseDeg: 118,
		}),
	);
	must(await pilot.write('reading', { flight: 1, run: 1, subject: 'torquePct', value: 61.5, unit: '%' }));
	must(await engineer.write('adjustment', { rotor: 'main', after: 1, stage: 'made', settings: { 'plate-A': 2 } }));
	const fileOf = (): string => exportRecord(set, (hash) => blobs.get(hash)).text;
	const unsigned = fileOf();
	for (const [writer, role] of [
		[engineer, 'engineer'],
		[pilot, 'pilot'],
	] as const) {
		must(
			await writer.write('signature', {
				...signable(set, blobs),
				name: role,
				licence: '',
				role,
				statement: 'I flew it.',
			}),
		);
	}
	const signed = fileOf();
	must(await pilot.write('reading', { flight: 1, run: 1, subject: 'oatC', value: 12, unit: 'C' }));
	return { record: set.record, unsigned, signed, addedTo: fileOf(), creator: engineerPen.key.fingerprint };
}

function signable(
	set: EntrySet,
	blobs: ReadonlyMap<string, Uint8Array>,
): Pick<FieldsOf<'signature'>, 'content' | 'number' | 'previous' | 'heads'> {
	const rules = rulesOfRecord(set, (hash) => blobs.get(hash));
	return must(toSign(set, fold(set, { rules })));
}

function must<T>(
	result: { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: unknown },
): T {
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
}
