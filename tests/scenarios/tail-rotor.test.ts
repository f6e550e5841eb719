import { solveRotor } from '@stillmast/core/balance';
import type { RecordState } from '@stillmast/record';
import { rotorJob } from '@stillmast/record/judge';
import { beforeAll, describe, expect, it } from 'vitest';
import { notCounted, type PlayedScenario, playShipped, sound } from './played.js';

type Settings = Readonly<Record<string, number>>;
interface Expected {
	readonly afterFlight1: Settings;
	readonly truth: { readonly ipsPerWasher: number; readonly phaseDeg: number };
	readonly learned: { readonly gain: number; readonly phaseErrorDeg: number };
	readonly limitIps: number;
	readonly goalIps: number;
}

describe('scenario tail-rotor (invented)', () => {
	let shown: PlayedScenario<Expected>;
	beforeAll(async () => {
		shown = await playShipped('tail-rotor');
	});

	const tailOf = (state: RecordState) => {
		const rotor = shown.typeData.rotors.find(({ id }) => id === 'tail');
		if (rotor === undefined) throw new Error('the Ouzel 3 has a tail rotor');
		return rotorJob(state, rotor).problem;
	};

	/** By hand: what was there, and each washer's vector at its place. */
	function readingIps(settings: Settings, ipsPerWasher: number, phaseDeg: number): readonly [number, number] {
		const vector = (ips: number, deg: number) =>
			[ips * Math.cos((deg * Math.PI) / 180), ips * Math.sin((deg * Math.PI) / 180)] as const;
		const washers = [1, 2, 3, 4].map((place) =>
			vector((settings[`washer-${place}`] ?? 0) * ipsPerWasher, phaseDeg + 90 * (place - 1)),
		);
		const sum = [vector(0.4, 100), ...washers].reduce(([x, y], [dx, dy]) => [x + dx, y + dy], [0, 0] as const);
		return [Math.hypot(...sum), (Math.atan2(sum[1], sum[0]) * 180) / Math.PI];
	}

	it('counts whole, and flight 2 reads what the truth makes of the washers that went on', () => {
		expect(notCounted(shown.state)).toEqual([]);
		const { truth, afterFlight1, limitIps, goalIps } = shown.expected;
		const [ips, deg] = readingIps(afterFlight1, truth.ipsPerWasher, truth.phaseDeg);
		const second = shown.state.vibrations.find(({ flight }) => flight === 2)?.holds;
		expect(Math.abs(ips - (second?.amplitudeIps ?? 0))).toBeLessThan(0.005);
		expect(Math.abs(deg - (second?.phaseDeg ?? 0))).toBeLessThan(1);
		expect(ips > goalIps && ips < limitIps).toBe(true);
	});

	it('after flight 1 the table answers with the washers that the vectors give', () => {
		const problem = tailOf(shown.state);
		const first = sound(solveRotor({ ...problem, runs: (problem.runs ?? []).slice(0, 1) }));
		const best = first.proposals[first.recommended ?? -1];
		expect(best?.settings).toEqual(shown.expected.afterFlight1);
		// by hand: 0.40 ips at 280° taken apart along 230° and 320°, in washers of 0.05 ips
		const along = (deg: number) => Math.round((0.4 * Math.cos(((280 - deg) * Math.PI) / 180)) / 0.05);
		expect([along(230), along(320)]).toEqual([5, 6]);
	});

	it('after flight 2 it has learned towards the truth, and its next change ends inside the goal by the truth', () => {
		const answer = sound(solveRotor(tailOf(shown.state)));
		const { learned, truth, goalIps } = shown.expected;
		const [washer] = answer.learned;
		expect(washer?.gain95[0]).toBeLessThan(learned.gain);
		expect(washer?.gain95[1]).toBeGreaterThan(learned.gain);
		expect(washer?.phaseError95[0]).toBeLessThan(learned.phaseErrorDeg);
		expect(washer?.phaseError95[1]).toBeGreaterThan(learned.phaseErrorDeg);
		// from the table (1.0 and 0°) more than half the way
		expect(Math.abs((washer?.gain ?? 1) - learned.gain)).toBeLessThan(0.1);
		expect(Math.abs((washer?.phaseErrorDeg ?? 0) - learned.phaseErrorDeg)).toBeLessThan(12.5);
		const settings = answer.proposals[answer.recommended ?? -1]?.settings ?? {};
		expect(readingIps(settings, truth.ipsPerWasher, truth.phaseDeg)[0]).toBeLessThan(goalIps);
	});
});
