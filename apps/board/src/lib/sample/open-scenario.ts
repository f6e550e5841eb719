import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Scenario } from '@stillmast/formats/scenario';
import { keepFile } from '@stillmast/record/client';
import { lastsMs, playScenario } from '@stillmast/record/scenario';
import type { Device } from '$lib/live/device.js';
import { makePen } from '$lib/live/pens.js';
import { fill } from '$lib/words/fill.js';
import { scenarios as words } from '$lib/words/scenarios.js';
import { documentsOf, shippedScenarios } from './shipped.js';

/** Code of the visitor's pen in every sample check; said on the screen. */
const visitorCode = '0000';

/**
 * Opens a shipped scenario, or finds the one this device has. It is played here, so that it ends now, and kept here:
 * no host gets it. The visitor holds the pen of one of the crew; the others' keys are made for it and thrown away.
 * @returns where to go
 */
export async function openScenario(device: Device, id: string): Promise<Result<string, Problem>> {
	const scenario = shippedScenarios().find((one) => one.id === id);
	if (scenario === undefined) return fail({ code: 'no-such-scenario', found: id });
	const rows = await device.store.all('records');
	if (!rows.ok) return rows;
	const name = visitorName(scenario);
	const here = rows.value.find((row) => row.hostName === null && row.name === name);
	const opened = here === undefined ? await playHere(device, scenario, name) : ok(here.key);
	return opened.ok ? ok(placeOf(scenario, opened.value)) : opened;
}

function placeOf({ view }: Scenario, record: string): string {
	return view === 'lesson' ? `/lesson/${record}` : `/check/${record}/${view}`;
}

function visitorName({ devices, visitor, aircraft }: Scenario): string {
	const role = devices.find(({ id }) => id === visitor)?.role ?? 'engineer';
	return fill(words.visitor, { initial: role.charAt(0).toUpperCase(), registration: aircraft.registration });
}

async function playHere(device: Device, scenario: Scenario, name: string): Promise<Result<string, Problem>> {
	const documents = documentsOf(scenario);
	if (!documents.ok) return documents;
	const pen = await makePen(device, { name, licence: '', code: visitorCode });
	if (!pen.ok) return pen;
	const { key } = pen.value;
	const nowMs = device.clock.nowMs();
	const played = await playScenario(scenario, documents.value, {
		random: device.random,
		startMs: nowMs - lastsMs(scenario),
		visitor: { key, name },
	});
	if (!played.ok) return played;
	const kept = await keepFile({ ...device, network: null }, played.value.text);
	if (!kept.ok) return kept;
	const { record } = played.value.set;
	const row = await device.store.put('records', {
		key: record,
		hostName: null,
		hostKey: null,
		penKey: key.publicKey,
		role: scenario.devices.find(({ id }) => id === scenario.visitor)?.role ?? 'engineer',
		name,
		openedAtMs: nowMs,
		storedHeads: [],
		lastContactMs: null,
	});
	return row.ok ? ok(record) : row;
}
