import type { Entry } from '@stillmast/formats/entry';
import { toSign } from '@stillmast/record';
import { describe, expect, it } from 'vitest';
import { givenUp, lostDevices, lostStatement, namable, stillWaiting } from '../src/lib/check/lost.view.js';
import { names, openCheck, type Writer } from './record-crew.js';

const mark = { flight: 1, step: 'hover', text: 'a thump' } as const;
const why = (pilot: Writer) => ({ [pilot.own]: ' fell overboard ' });

/** The engineer heard the pilot's first and third entry, not the second. */
async function withGap() {
	const engineer = await openCheck();
	const pilot = await engineer.letIn('pilot');
	const kept = await pilot.write('mark', { ...mark, text: 'kept' });
	engineer.hear(pilot);
	const gone = await pilot.write('mark', mark);
	engineer.set.add((await pilot.write('mark', { ...mark, text: 'third' })) as unknown as Entry);
	return { engineer, pilot, kept, gone };
}

describe('a device that will not come back', () => {
	it('is named with its last entry that stands whole, and then holds up nobody', async () => {
		const { engineer, pilot, kept } = await withGap();
		const { state } = engineer;
		expect(namable(state, engineer.own).map(({ name }) => name)).toEqual(['Demo pilot']);
		expect(stillWaiting(state, [])).toBe(1);
		const lost = lostDevices(state, why(pilot));
		expect(lost).toEqual([{ key: pilot.own, last: kept.hash, reason: 'fell overboard' }]);
		expect(stillWaiting(state, lost)).toBe(0);
		expect(toSign(engineer.set, state, lost).ok).toBe(true);
	});

	it('stands in the signed words: whose, when last heard, what is missing, and why', async () => {
		const { engineer, pilot } = await withGap();
		expect(lostStatement(engineer.state, lostDevices(engineer.state, why(pilot)))).toBe(
			'Signed without the device of Demo pilot, pilot: fell overboard. Last heard 10:00Z, 2 entries here. Known and not here: 1.',
		);
		expect(lostStatement(engineer.state, [])).toBe('');
	});

	it('is told once it is back, entry by entry; the second signer gives up the same device', async () => {
		const { engineer, pilot, gone } = await withGap();
		const terms = toSign(engineer.set, engineer.state, lostDevices(engineer.state, why(pilot)));
		if (!terms.ok) throw new Error(terms.problem.code);
		const signer = { name: 'Demo engineer', licence: 'XX-1', role: 'engineer', statement: 'I have read it.' } as const;
		await engineer.write('signature', { ...terms.value, ...signer });
		const text = 'Signed without the device of Demo pilot, pilot: fell overboard.';
		expect(givenUp(engineer.state, names)).toEqual([{ key: pilot.own, text, late: [] }]);
		expect(lostDevices(engineer.state, {})).toMatchObject([{ key: pilot.own }]);
		engineer.set.add(gone as unknown as Entry);
		expect(givenUp(engineer.state, names)).toMatchObject([{ text, late: ['mark', 'mark'] }]);
		expect(lostDevices(engineer.state, {})).toEqual([]);
	});
});
