import { rotorJob } from '@stillmast/record/judge';
import { beforeAll, describe, expect, it } from 'vitest';
import { notCounted, type PlayedScenario, playShipped } from './played.js';

interface Expected {
	readonly beforeMeeting: Readonly<
		Record<'left-seat' | 'right-seat', { readonly vibrations: number; readonly channel: readonly number[] }>
	>;
	readonly toAgree: number;
	readonly channel: string;
	readonly values: readonly number[];
	readonly leftOut: readonly string[];
	readonly alike: string;
	readonly asked: number;
}

describe('scenario offline-cockpit (invented)', () => {
	let shown: PlayedScenario<Expected>;
	beforeAll(async () => {
		shown = await playShipped('offline-cockpit');
	});

	it('before they meet, each seat knows only what it wrote, and nothing differs', () => {
		for (const [seat, { vibrations, channel }] of Object.entries(shown.expected.beforeMeeting)) {
			const { of, toAgree } = shown.stateAt(seat);
			expect(of.vibration).toHaveLength(vibrations);
			const values = of.vibration.filter((one) => one.channel === shown.expected.channel);
			expect(values.map(({ amplitudeIps }) => amplitudeIps)).toEqual(channel);
			expect(toAgree).toEqual([]);
		}
	});

	it('[REC-50] afterwards both values stand to be agreed; what both wrote alike is one', () => {
		const { state, expected } = shown;
		expect(notCounted(state)).toEqual([]);
		expect(state.toAgree).toHaveLength(expected.toAgree);
		const group = (channel: string) => state.vibrations.find((one) => one.channel === channel);
		const differing = group(expected.channel);
		expect([differing?.state, differing?.holds]).toEqual(['differ', null]);
		expect(differing?.entries.map(({ amplitudeIps }) => amplitudeIps).sort()).toEqual(expected.values);
		expect([group(expected.alike)?.state, group(expected.alike)?.entries.length]).toEqual(['one', 2]);
		expect(state.of.remark.filter(({ asks }) => asks)).toHaveLength(expected.asked);
	});

	it('[JDG-2] that channel alone is left out of what the solver gets', () => {
		const { state, typeData, expected } = shown;
		const [main] = typeData.rotors;
		if (main === undefined) throw new Error('the Ouzel 3 has a main rotor');
		const { runs, problem } = rotorJob(state, main);
		expect(runs.map(({ differing }) => differing)).toEqual([expected.leftOut]);
		const given = Object.keys(problem.runs?.[0]?.readings ?? {});
		expect(given).toHaveLength(main.channels.length - expected.leftOut.length);
	});

	it('[REC-52] an agreement settles it, and the one chosen is what is computed with', async () => {
		const chosen = { hashOf: 'right-vert' };
		const fields = { chosen, over: [{ hashOf: 'left-vert' }], reason: 'as the instrument has kept it' };
		const { state } = await playShipped('offline-cockpit', [{ do: 'write', by: 'workshop', kind: 'agree', fields }]);
		expect(state.toAgree).toEqual([]);
		const group = state.vibrations.find((one) => one.channel === shown.expected.channel);
		expect([group?.state, group?.holds?.amplitudeIps]).toEqual(['agreed', 0.1]);
	});
});
