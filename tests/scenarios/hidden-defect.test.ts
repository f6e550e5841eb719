import { solveRotor } from '@stillmast/core/balance';
import { rotorJob } from '@stillmast/record/judge';
import { describe, expect, it } from 'vitest';
import { notCounted, playShipped, sound } from './played.js';

interface Expected {
	readonly worstToGoal: readonly number[];
	readonly inspect: { readonly code: string; readonly found: number; readonly limit: number };
	readonly auditFits: boolean;
}

describe('scenario hidden-defect (invented)', () => {
	it('[BAL-46] asks to stop and inspect after two changes that made the worst reading larger, and no explanation fits', async () => {
		const { state, typeData, expected } = await playShipped<Expected>('hidden-defect');
		expect(notCounted(state)).toEqual([]);
		const [main] = typeData.rotors;
		if (main === undefined) throw new Error('the Ouzel 3 has a main rotor');
		const { problem } = rotorJob(state, main);
		const worst = (problem.runs ?? []).map((run) =>
			Math.max(...problem.channels.map((one) => (run.readings[one.id]?.amplitudeIps ?? 0) / (one.goalIps ?? 1))),
		);
		expect(worst.map((ratio) => Number(ratio.toFixed(9)))).toEqual(expected.worstToGoal);
		const answer = sound(solveRotor(problem));
		const flag = answer.inspect.find(({ code }) => code === expected.inspect.code);
		expect(flag?.found).toBeCloseTo(expected.inspect.found, 9);
		expect(flag?.limit).toBeCloseTo(expected.inspect.limit, 9);
		expect(answer.audit?.fits).toBe(expected.auditFits);
	});

	it('asks nothing of the kind after the first change', async () => {
		const { state, typeData, expected } = await playShipped<Expected>('hidden-defect');
		const [main] = typeData.rotors;
		if (main === undefined) throw new Error('the Ouzel 3 has a main rotor');
		const { problem } = rotorJob(state, main);
		const answer = sound(solveRotor({ ...problem, runs: (problem.runs ?? []).slice(0, 2) }));
		expect(answer.inspect.map(({ code }) => code)).not.toContain(expected.inspect.code);
	});
});
