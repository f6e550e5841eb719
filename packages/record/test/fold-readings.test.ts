import type { FieldsOf } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { bareRules, type FoldRules, fold } from '../src/index.js';
import { crew, hover } from './world/people.js';

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

describe('fold(set): readings', () => {
	const rows: readonly [string, FieldsOf<'vibration'>, FieldsOf<'vibration'>, 'one' | 'differ'][] = [
		['equal', vibration(0.31), vibration(0.31), 'one'],
		['within the resolution', vibration(0.31), vibration(0.32), 'one'],
		['beyond it', vibration(0.31), vibration(0.33), 'differ'],
		['phases across 360', vibration(0.31, 359.5), vibration(0.31, 0.5), 'one'],
		['phases apart', vibration(0.31, 359), vibration(0.31, 2), 'differ'],
		['phases apart below the noise', vibration(0.015, 10), vibration(0.015, 190), 'one'],
		['one without phase', vibration(0.31, null), vibration(0.31, 190), 'one'],
		['within a coarser resolution that is stated', vibration(0.31), { ...vibration(0.35), resolutionIps: 0.05 }, 'one'],
	];
	it.each(rows)('[REC-50] two vibration readings, %s: %s', async (_, a, b, state) => {
		const { engineer, pilot, hear } = await crew();
		await pilot.write('vibration', a);
		await engineer.write('vibration', b);
		hear();
		const [group] = fold(engineer.set).vibrations;
		expect(group).toMatchObject({ state, flight: 1, run: 1, rotor: 'main', channel: 'hover/lat' });
		expect(group?.entries).toHaveLength(2);
	});

	it('[REC-50] of two that agree, one without phase, the one with its phase holds', async () => {
		const { engineer } = await crew();
		await engineer.write('vibration', vibration(0.31, null));
		const full = await engineer.write('vibration', vibration(0.31, 190));
		expect(fold(engineer.set).vibrations[0]).toMatchObject({ state: 'one', holds: { hash: full.hash } });
	});

	it('[REC-50] two readings of a field: units, words, and the resolution of card or instrument', async () => {
		const settled = async (a: FieldsOf<'reading'>, b: FieldsOf<'reading'>, rules: FoldRules = bareRules) => {
			const { engineer, pilot, hear } = await crew();
			await pilot.write('reading', a);
			await engineer.write('reading', b);
			hear();
			return fold(engineer.set, { rules }).readings[0]?.state;
		};
		expect(await settled(field(80), field(80))).toBe('one');
		expect(await settled(field(80), field(80.1))).toBe('differ');
		expect(await settled(field(80), field(80, 'Nm'))).toBe('differ');
		expect(await settled(field('ok'), field('not ok'))).toBe('differ');
		expect(await settled({ ...field(80), resolution: 0.5 }, field(80.5))).toBe('one');
		const rules = { ...bareRules, resolutions: { torquePct: 0.2 } };
		expect(await settled(field(80), field(80.2), rules)).toBe('one');
		expect(await settled(field(80), field(80.3), rules)).toBe('differ');
	});

	it('[REC-50] of three, the outer two may differ though each is near the middle one', async () => {
		const { engineer } = await crew();
		for (const amplitudeIps of [0.3, 0.31, 0.32]) await engineer.write('vibration', vibration(amplitudeIps));
		expect(fold(engineer.set).vibrations[0]?.state).toBe('differ');
	});

	it('[REC-50] a struck reading no longer differs, and is still there', async () => {
		const { engineer } = await crew();
		const wrong = await engineer.write('vibration', vibration(0.9));
		await engineer.write('vibration', vibration(0.31));
		expect(fold(engineer.set).vibrations[0]?.state).toBe('differ');
		await engineer.write('strike', { target: wrong.hash, reason: 'misread' });
		const state = fold(engineer.set);
		expect(state.vibrations[0]).toMatchObject({ state: 'one', holds: { amplitudeIps: 0.31 } });
		expect(state.judged.get(wrong.hash)?.entry).toMatchObject({ amplitudeIps: 0.9 });
	});

	it('[REC-52] an agreement chooses, and reopens by itself when a differing reading turns up', async () => {
		const { engineer, pilot, hear } = await crew();
		const a = await pilot.write('vibration', vibration(0.31));
		const b = await engineer.write('vibration', vibration(0.41));
		hear();
		// Written while the pilot was out of reach: the agreement has not seen it.
		const late = await pilot.write('vibration', vibration(0.36));
		const agree = await engineer.write('agree', { chosen: a.hash, over: [b.hash], reason: 'seen by both' });
		expect(fold(engineer.set)).toMatchObject({
			vibrations: [{ state: 'agreed', holds: { hash: a.hash }, agree: { hash: agree.hash } }],
			toAgree: [],
		});
		hear();
		expect(fold(engineer.set).vibrations[0]).toMatchObject({ state: 'differ', holds: null });
		expect(fold(engineer.set).toAgree).toHaveLength(1);
		await engineer.write('agree', { chosen: late.hash, over: [a.hash, b.hash], reason: 'repeated' });
		expect(fold(engineer.set).vibrations[0]).toMatchObject({ state: 'agreed', holds: { hash: late.hash } });
	});

	it('[REC-52] a later reading that says what was chosen reopens nothing', async () => {
		const { engineer } = await crew();
		const a = await engineer.write('vibration', vibration(0.31));
		const b = await engineer.write('vibration', vibration(0.41));
		await engineer.write('agree', { chosen: a.hash, over: [b.hash], reason: 'repeated' });
		await engineer.write('vibration', vibration(0.31));
		expect(fold(engineer.set).vibrations[0]?.state).toBe('agreed');
	});

	it('[REC-52] two agreements that do not know each other and choose differently decide nothing', async () => {
		const { engineer, pilot, hear } = await crew();
		const a = await engineer.write('vibration', vibration(0.31));
		const b = await engineer.write('vibration', vibration(0.41));
		hear();
		await engineer.write('agree', { chosen: a.hash, over: [b.hash], reason: 'mine' });
		await pilot.write('agree', { chosen: b.hash, over: [a.hash], reason: 'no, mine' });
		hear();
		expect(fold(engineer.set).vibrations[0]?.state).toBe('differ');
		await engineer.write('agree', { chosen: b.hash, over: [a.hash], reason: 'talked it over' });
		expect(fold(engineer.set).vibrations[0]).toMatchObject({ state: 'agreed', holds: { hash: b.hash } });
	});

	it('[REC-52] an agreement that is struck, or chose a reading that was struck, no longer holds', async () => {
		const { engineer } = await crew();
		const a = await engineer.write('vibration', vibration(0.31));
		const b = await engineer.write('vibration', vibration(0.41));
		const c = await engineer.write('vibration', vibration(0.51));
		const agree = await engineer.write('agree', { chosen: a.hash, over: [b.hash, c.hash], reason: 'repeated' });
		await engineer.write('strike', { target: agree.hash, reason: 'wrong regime' });
		expect(fold(engineer.set).vibrations[0]?.state).toBe('differ');
		const again = await engineer.write('agree', { chosen: a.hash, over: [b.hash, c.hash], reason: 'after all' });
		expect(fold(engineer.set).vibrations[0]?.agree?.hash).toBe(again.hash);
		await engineer.write('strike', { target: a.hash, reason: 'wrong station' });
		expect(fold(engineer.set).vibrations[0]?.state).toBe('differ');
	});
});
