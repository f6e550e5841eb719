import type { FieldsOf } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { fold, rulesOf } from '../src/index.js';
import { crew, enrolHand, hover } from './world/people.js';

const vibration = (amplitudeIps: number, phaseDeg: number | null = 118): FieldsOf<'vibration'> => ({
	...hover,
	amplitudeIps,
	phaseDeg,
});
const field = (value: number | string, unit = '%'): FieldsOf<'reading'> => ({
	flight: 1,
	run: 1,
	subject: 'torquePct',
	value,
	unit,
});

describe('fold(set): settings and what to measure again', () => {
	const adjust = (after: number, stage: FieldsOf<'adjustment'>['stage'], settings: Record<string, number>) =>
		({ rotor: 'main', after, stage, settings }) as const;
	const rules = rulesOf(
		{
			dependencies: [
				{ change: 'washer', unaffected: ['main', 'track'], reference: 'manual (invented)' },
				{ change: 'link', unaffected: [], reference: 'manual (invented)' },
			],
			rotors: [
				{
					id: 'main',
					adjusters: [
						{ id: 'plate-A', kind: 'plate' },
						{ id: 'link-A', kind: 'link', inspection: true },
					],
				},
				{ id: 'tail', adjusters: [{ id: 'washer-1', kind: 'washer' }] },
			] as unknown as Parameters<typeof rulesOf>[0] extends infer T ? (T & { rotors: unknown })['rotors'] : never,
		} as NonNullable<Parameters<typeof rulesOf>[0]>,
		null,
	);

	it('[REC-60] the newest word on the newest ground time holds, with how it is known', async () => {
		const { engineer } = await crew();
		const setting = (id: string) => fold(engineer.set).rotors.get('main')?.settings.get(id);
		await engineer.write('adjustment', adjust(0, 'found', { 'plate-A': 1, 'plate-B': 3 }));
		expect(setting('plate-A')).toMatchObject({ value: 1, measured: true, after: 0 });
		await engineer.write('adjustment', adjust(1, 'made', { 'plate-A': 2 }));
		expect(setting('plate-A')).toMatchObject({ value: 2, measured: false, after: 1 });
		expect(setting('plate-B')).toMatchObject({ value: 3, measured: true, after: 0 });
		await engineer.write('adjustment', adjust(1, 'measured', { 'plate-A': 2.1 }));
		expect(setting('plate-A')).toMatchObject({ value: 2.1, measured: true });
	});

	it('[REC-60] what is copied later from paper about an earlier ground time does not undo a later one', async () => {
		const { engineer } = await crew();
		await engineer.write('adjustment', adjust(2, 'made', { 'plate-A': 4 }));
		await engineer.write('adjustment', adjust(1, 'made', { 'plate-A': 2 }), { source: 'paper' });
		const rotor = fold(engineer.set).rotors.get('main');
		expect(rotor?.settings.get('plate-A')?.value).toBe(4);
		expect(rotor?.history.get('plate-A')?.map(({ after, value }) => [after, value])).toEqual([
			[1, 2],
			[2, 4],
		]);
	});

	it('[REC-60] settings said differently by two who do not know it have no value until agreed', async () => {
		const { engineer, hear } = await crew();
		const other = await enrolHand(engineer, 'engineer', 3);
		hear();
		const a = await engineer.write('adjustment', adjust(1, 'made', { 'plate-A': 2 }));
		const b = await other.write('adjustment', adjust(1, 'made', { 'plate-A': 3 }));
		engineer.hear(other.set);
		const setting = () => fold(engineer.set).rotors.get('main')?.settings.get('plate-A');
		expect(setting()).toMatchObject({ value: null, values: [2, 3] });
		expect(fold(engineer.set).toAgree).toHaveLength(1);
		await engineer.write('agree', { chosen: b.hash, over: [a.hash], reason: 'counted together' });
		expect(setting()).toMatchObject({ value: 3 });
		expect(fold(engineer.set).toAgree).toEqual([]);
	});

	it('[REC-60] a plan is open until somebody who knew it has worked on that adjuster', async () => {
		const { engineer } = await crew();
		const planned = () => [...(fold(engineer.set).rotors.get('main')?.planned.keys() ?? [])];
		await engineer.write('adjustment', adjust(0, 'found', { 'plate-A': 0, 'plate-B': 0 }));
		await engineer.write('adjustment', adjust(1, 'planned', { 'plate-A': 2, 'plate-B': 1 }));
		expect(planned()).toEqual(['plate-A', 'plate-B']);
		await engineer.write('adjustment', adjust(1, 'made', { 'plate-A': 3 }));
		expect(planned()).toEqual(['plate-B']);
	});

	it('[REC-61] a change makes every earlier result stale that the type does not spare, until measured again', async () => {
		const { engineer } = await crew();
		const stale = () => fold(engineer.set, { rules }).measureAgain.map(({ result }) => result);
		await engineer.write('adjustment', adjust(0, 'found', { 'plate-A': 0 }));
		await engineer.write('adjustment', { rotor: 'tail', after: 0, stage: 'found', settings: { 'washer-1': 0 } });
		await engineer.write('vibration', vibration(0.31));
		await engineer.write('vibration', { ...vibration(0.2), rotor: 'tail', channel: 'hover/gearbox' });
		await engineer.write('reading', { flight: 1, run: 1, subject: 'track/main/hover/A', value: 3, unit: 'mm' });
		await engineer.write('reading', field(80));
		expect(stale()).toEqual([]);
		await engineer.write('adjustment', adjust(1, 'measured', { 'plate-A': 0 }));
		expect(stale()).toEqual([]);
		const washer = await engineer.write('adjustment', {
			rotor: 'tail',
			after: 1,
			stage: 'made',
			settings: { 'washer-1': 2 },
		});
		expect(fold(engineer.set, { rules }).measureAgain).toEqual([
			{ result: 'vibration/tail/hover/gearbox', flight: 1, because: [washer.hash] },
		]);
		await engineer.write('adjustment', adjust(1, 'made', { 'plate-A': 2 }));
		expect(stale()).toEqual(['track/main/hover/A', 'vibration/main/hover/lat', 'vibration/tail/hover/gearbox']);
		await engineer.write('vibration', { ...vibration(0.12), flight: 2 });
		expect(stale()).toEqual(['track/main/hover/A', 'vibration/tail/hover/gearbox']);
	});

	it('[REC-61] work on an adjuster that nobody had looked at is a change', async () => {
		const { engineer } = await crew();
		await engineer.write('vibration', vibration(0.31));
		await engineer.write('adjustment', adjust(1, 'made', { 'plate-A': 2 }));
		expect(fold(engineer.set).measureAgain).toHaveLength(1);
	});

	it('[REC-62] work on a flight control waits for an inspection by another pen that finds all in order', async () => {
		const { engineer, hear } = await crew();
		const other = await enrolHand(engineer, 'engineer', 3);
		hear();
		const open = () => fold(engineer.set, { rules }).rotors.get('main')?.inspectionsOpen;
		await engineer.write('adjustment', adjust(1, 'made', { 'plate-A': 2 }));
		const work = await engineer.write('adjustment', adjust(1, 'made', { 'link-A': 1 }));
		expect(open()).toEqual([work.hash]);
		other.hear(engineer.set);
		const look = { adjustment: work.hash, locked: true, toolsCounted: true, result: 'in-order' } as const;
		await engineer.write('inspection', look);
		await other.write('inspection', { ...look, locked: false });
		await other.write('inspection', { ...look, result: 'not-in-order' });
		engineer.hear(other.set);
		expect(open()).toEqual([work.hash]);
		await other.write('inspection', look);
		engineer.hear(other.set);
		expect(open()).toEqual([]);
	});
});
