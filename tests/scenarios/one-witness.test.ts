import { limitCases } from '@stillmast/record/judge';
import { describe, expect, it } from 'vitest';
import { notCounted, playShipped } from './played.js';

interface Expected {
	readonly verdict: string;
	readonly line: string;
	readonly peakLeast: number;
	readonly durationLeastS: number;
}

describe('scenario one-witness (invented)', () => {
	it('says that the line was passed, by at least what was surely seen, and rules nothing above it out', async () => {
		const { state, card, typeData, expected } = await playShipped<Expected>('one-witness');
		expect(notCounted(state)).toEqual([]);
		const [one, ...more] = limitCases(state, card, typeData);
		expect(more).toEqual([]);
		const line = one?.lines.find(({ line }) => line.id === expected.line);
		expect([one?.governing, line?.condition, line?.verdict]).toEqual([expected.line, 'held', expected.verdict]);
		const { peak, durationS } = line?.found ?? {};
		expect([peak?.[0], durationS?.[0]]).toEqual([expected.peakLeast, expected.durationLeastS]);
		// nobody recorded it: no upper end
		expect([peak?.[1], durationS?.[1]]).toEqual([null, null]);
		expect(one?.isSettled).toBe(false);
	});
});
