import type { Feed } from '@stillmast/record/wire';
import { describe, expect, it } from 'vitest';
import { createFeedGate } from '../src/room/feed-gate.js';

const moment = (timeS: number, values: Feed['values']): Feed => ({
	type: 'feed',
	source: 'bench',
	registration: 'ZZ-OUZ',
	timeS,
	values,
	states: {},
});

describe('createFeedGate', () => {
	it('[FEED-5] keeps a slow gauge that falls between two moments, and of each gauge the newest value', () => {
		const shown: Feed[] = [];
		const due: (() => void)[] = [];
		const clock = {
			monotonicMs: () => 0,
			nowMs: () => 0,
			after: (_ms: number, run: () => void) => {
				due.push(run);
				return () => undefined;
			},
		};
		const gate = createFeedGate(clock, (feed) => shown.push(feed));
		gate.offer(moment(0, { torquePct: 60 }));
		gate.offer(moment(0.01, { torquePct: 61, oatC: 15 }));
		gate.offer(moment(0.02, { torquePct: 62 }));
		for (const run of due) run();
		expect(shown.map(({ timeS, values }) => [timeS, values])).toEqual([
			[0, { torquePct: 60 }],
			[0.02, { torquePct: 62, oatC: 15 }],
		]);
	});
});
