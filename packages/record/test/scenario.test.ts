import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readScenario, type Scenario, type ScenarioEvent } from '@stillmast/formats/scenario';
import { describe, expect, it } from 'vitest';
import { verifyRecordFile } from '../src/file/index.js';
import { fold, rulesOfRecord } from '../src/fold/index.js';
import { lastsMs, type Played, playScenario } from '../src/scenario/index.js';

const folder = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios', 'after-gearbox-smoothing');
const json = (name: string): unknown => JSON.parse(readFileSync(join(folder, name), 'utf8'));
const documents = { card: json('card.json'), typeData: json('type.json') };
const plain = json('scenario.json') as Scenario;

const header = (by: string, value: number, as?: string): ScenarioEvent => ({
	do: 'write',
	by,
	kind: 'header',
	fields: { field: 'airframeHours', value, unit: 'h' },
	...(as === undefined ? {} : { as }),
});
const sign = (by: string, lost?: { device: string; reason: string }[]): ScenarioEvent => ({
	do: 'sign',
	by,
	licence: 'XX-1',
	statement: 'I have read it.',
	...(lost && { lost }),
});

function counted(): (length: number) => Uint8Array {
	let drawn = 0;
	return (length) => Uint8Array.from({ length }, () => drawn++ % 251);
}

async function play(events: readonly ScenarioEvent[], change: Partial<Scenario> = {}): Promise<Played> {
	const read = readScenario({ ...plain, ...change, events });
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	const played = await playScenario(read.value, documents, { random: counted() });
	if (!played.ok) throw new Error(JSON.stringify(played.problem));
	return played.value;
}

const stateOf = ({ set, blobs }: Pick<Played, 'set' | 'blobs'>) =>
	fold(set, { rules: rulesOfRecord(set, (hash) => blobs.get(hash)) });

describe('playScenario(scenario, documents, options)', () => {
	it('[SCN-1] gives the same bytes twice, and a file that verifies and counts whole', async () => {
		const [first, second] = [await play(plain.events), await play(plain.events)];
		expect(first.text).toBe(second.text);
		const report = await verifyRecordFile(first.text);
		expect(report.faults).toEqual([]);
		expect([...stateOf(first).judged.values()].filter(({ judgement }) => judgement.state !== 'counts')).toEqual([]);
	});

	it('begins when it is told and ends when lastsMs says', async () => {
		const entries = (await play([...plain.events, { do: 'wait', seconds: 600 }, header('workshop', 1)])).set.inOrder();
		expect(entries[0]?.at).toBe(plain.startsAt);
		const events = [...plain.events, { do: 'wait', seconds: 600 } as const, header('workshop', 1)];
		const endMs = Date.parse(plain.startsAt) + lastsMs({ ...plain, events });
		// lastsMs counts the step after the last entry too, and one for a host that is not here
		expect(endMs - Date.parse(entries.at(-1)?.at ?? '')).toBe(1000 * plain.entryEveryS);
	});

	it('[SCN-2] lets two that do not hear each other write different values, keeps both, and neither knew the other', async () => {
		const played = await play([
			{ do: 'connect', groups: [] },
			header('workshop', 4182.3, 'first'),
			header('cockpit', 4182.8, 'second'),
			{ do: 'look', at: 'workshop', as: 'apart' },
			{ do: 'connect', groups: [['workshop', 'cockpit']] },
		]);
		const [first = '', second = ''] = ['first', 'second'].map((name) => played.named.get(name));
		expect(played.looks.get('apart')?.has(first)).toBe(true);
		expect(played.looks.get('apart')?.has(second)).toBe(false);
		const { state, entries, holds } = stateOf(played).header.get('airframeHours') ?? {};
		expect([state, holds, entries?.map(({ value }) => value).sort()]).toEqual(['differ', null, [4182.3, 4182.8]]);
		expect(played.set.causality.past([second]).has(first)).toBe(false);
	});

	it('[SCN-3] keeps from the record what a lost device had not passed on; found, it is added after the signature that named it', async () => {
		const reason = 'fell from the skid';
		const played = await play(
			[
				{ do: 'connect', groups: [['workshop']] },
				header('cockpit', 4182.8, 'unsent'),
				{ do: 'lose', device: 'cockpit' },
				sign('workshop', [{ device: 'cockpit', reason }]),
				{ do: 'look', at: 'workshop', as: 'signed' },
				{ do: 'find', device: 'cockpit', near: 'workshop' },
			],
			{ devices: plain.devices },
		);
		const unsent = played.named.get('unsent') ?? '';
		expect(played.looks.get('signed')?.has(unsent)).toBe(false);
		expect(played.set.has(unsent)).toBe(true);
		const [content] = stateOf(played).signing.contents;
		expect(content?.lost).toEqual([{ key: played.keys.get('cockpit'), last: null, reason }]);
		expect(content?.added).toEqual([unsent]);
		expect(content?.signatures.map(({ cover }) => cover)).toEqual(['holds']);
	});

	it('lets a device in later, ends the key of another, and fills names into fields', async () => {
		const devices = [...plain.devices, { id: 'spare', role: 'pilot', name: 'P (spare)', joinsLater: true } as const];
		const played = await play(
			[
				header('cockpit', 1, 'wrong'),
				{ do: 'lock-out', by: 'workshop', device: 'cockpit', reason: 'left behind' },
				{ do: 'join', device: 'spare', by: 'workshop' },
				{ do: 'write', by: 'spare', kind: 'strike', fields: { target: { hashOf: 'wrong' }, reason: 'slip' } },
				{
					do: 'write',
					by: 'spare',
					kind: 'remark',
					fields: { to: null, asks: false, text: 'here' },
					source: 'paper',
					observedBeforeS: 60,
				},
			],
			{ devices },
		);
		const { people, judged, of } = stateOf(played);
		expect(people.get(played.keys.get('cockpit') ?? '')?.revokedBy).toHaveLength(1);
		expect(judged.get(played.named.get('wrong') ?? '')?.judgement.state).toBe('struck');
		const [remark] = of.remark;
		expect(remark?.source).toBe('paper');
		expect(Date.parse(remark?.at ?? '') - Date.parse(remark?.observed?.to ?? '')).toBe(60_000);
	});

	it.each([
		['fields that the kind does not have', header('workshop', Number.NaN), '$.events[0].fields.value'],
		['a signature by one who signs nothing', sign('guest'), '$.events[0].by'],
	])('%s: says in which event', async (_what, event, path) => {
		const devices = [...plain.devices, { id: 'guest', role: 'support', name: 'S' } as const];
		const played = await playScenario({ ...plain, devices, events: [event] }, documents, { random: counted() });
		expect(played.ok ? null : played.problem.path).toBe(path);
	});
});

describe('readScenario(value)', () => {
	const cases: readonly (readonly [string, Partial<Scenario>, string])[] = [
		['a device that is not there', { events: [header('cellar', 1)] }, '$.events[0].by'],
		['one that was lost', { events: [{ do: 'lose', device: 'cockpit' }, header('cockpit', 1)] }, '$.events[1].by'],
		[
			'a group with a stranger',
			{ events: [{ do: 'connect', groups: [['cockpit', 'x']] }] },
			'$.events[0].groups[0][1]',
		],
		[
			'a lost device nobody knows',
			{ events: [sign('cockpit', [{ device: 'x', reason: '' }])] },
			'$.events[0].lost[0].device',
		],
		[
			'an entry that has no name yet',
			{ events: [{ do: 'write', by: 'cockpit', kind: 'strike', fields: { target: { hashOf: 'x' }, reason: '' } }] },
			'$.events[0].fields.target.hashOf',
		],
		['a visitor nobody knows', { visitor: 'x' }, '$.visitor'],
		['two devices of one id', { devices: [...plain.devices, ...plain.devices] }, '$.devices[2].id'],
		[
			'an opener that is not there',
			{ devices: [{ id: 'workshop', role: 'engineer', name: 'E', joinsLater: true }] },
			'$.devices[0].joinsLater',
		],
	];
	it.each(cases)('[SCN-4] refuses %s with its place', (_what, change, path) => {
		const read = readScenario({ ...plain, ...change });
		expect(read.ok ? null : read.problem).toMatchObject({
			path,
			found: expect.any(String),
			needed: expect.any(String),
		});
	});

	it.each([
		{ purpose: 'flight' },
		{ aircraft: { ...plain.aircraft, registration: 'AB-CDE' } },
		{ invented: false },
		{ card: '../../card.json' },
	])('[SCN-5] refuses %j', (change) => {
		expect(readScenario({ ...plain, ...change }).ok).toBe(false);
	});
});
