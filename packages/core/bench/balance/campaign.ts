import type { Run } from '../../src/balance/index.js';
import type { Seeded } from './seeded.js';
import { bend, fly, levelsAt, type SimulatedRotor } from './simulated-rotor.js';
import type { Decision, Strategy } from './strategies.js';

/** One decision and what became of it. */
export interface Leg {
	readonly decision: Decision;
	readonly next: Run;
}

export interface Campaign {
	/** Corrections until every reading was inside its goal; null when never within the most allowed. */
	readonly corrections: number | null;
	readonly legs: readonly Leg[];
	readonly runs: readonly Run[];
	readonly decideMs: readonly number[];
}

export const MOST_CORRECTIONS = 10;

/** Flies and corrects until every reading is inside its goal; null when the first run already is. */
export function campaign(
	rotor: SimulatedRotor,
	strategy: Strategy,
	random: Seeded,
	nowMs: () => number,
): Campaign | null {
	const { adjusters } = rotor.shape;
	let settings: Readonly<Record<string, number>> = rotor.found;
	let springback = adjusters.map(() => 0);
	const runs = [fly(rotor, 'run 1', settings, levelsAt(rotor, settings, springback), random)];
	if (inside(rotor, runs[0]!)) return null;
	const legs: Leg[] = [];
	const decideMs: number[] = [];
	while (!inside(rotor, runs.at(-1)!)) {
		if (legs.length === MOST_CORRECTIONS) return { corrections: null, legs, runs, decideMs };
		const startedMs = nowMs();
		const decision = strategy.decide(rotor, runs);
		decideMs.push(nowMs() - startedMs);
		springback = bend(adjusters, springback, settings, decision.settings, random);
		settings = decision.settings;
		const next = fly(rotor, `run ${runs.length + 1}`, settings, levelsAt(rotor, settings, springback), random);
		runs.push(next);
		legs.push({ decision, next });
	}
	return { corrections: legs.length, legs, runs, decideMs };
}

export function inside(rotor: SimulatedRotor, run: Run): boolean {
	return rotor.shape.channels.every((channel) => run.readings[channel.id]!.amplitudeIps <= channel.goalIps!);
}
