import type { Entry } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { EntrySet, Folding, fold, type RecordState } from '../src/index.js';
import { enrolHand, openTestRecord } from './world/people.js';

const plain = (state: RecordState) => ({ ...state, judged: [...state.judged] });

describe('Folding.state()', () => {
	it('[REC-11] two agreements that know nothing of each other and choose alike: the same one is named in any order', async () => {
		const engineer = await openTestRecord(71);
		const pilot = await enrolHand(engineer, 'pilot', 72);
		const value = async (hand: typeof engineer, value: number) =>
			(await hand.write('reading', { flight: 1, run: null, subject: 'oatC', value, unit: 'C' })) as unknown as Entry;
		const [high, low] = [await value(engineer, 20), await value(pilot, 5)];
		pilot.hear(engineer.set);
		engineer.hear(pilot.set);
		const fields = { chosen: high.hash, over: [low.hash], reason: 'read again' };
		const agrees = [
			(await engineer.write('agree', fields)) as unknown as Entry,
			(await pilot.write('agree', fields)) as unknown as Entry,
		];
		const before = engineer.set.inOrder().filter((entry) => entry.kind !== 'agree');
		const states = [agrees, [...agrees].reverse()].map((order) => {
			const set = new EntrySet(engineer.set.record, before);
			const folding = new Folding(set);
			folding.state();
			for (const agree of order) {
				set.add(agree);
				folding.state();
			}
			return folding.state();
		});
		const whole = fold(new EntrySet(engineer.set.record, [...before, ...agrees]));
		expect(plain(states[0] as RecordState)).toEqual(plain(whole));
		expect(plain(states[1] as RecordState)).toEqual(plain(whole));
		const settled = whole.readings.find(({ subject }) => subject === 'oatC');
		expect(settled?.state).toBe('agreed');
		expect(settled?.holds?.value).toBe(20);
	});
});
