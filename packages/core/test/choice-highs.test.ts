import loadHighs from 'highs';
import { beforeAll, describe, expect, it } from 'vitest';
import {
	asChoice,
	asLinearProgram,
	discreteRotor,
	PLATES_AT_MOST,
	worstOverGoal,
} from '../bench/balance/discrete-rotor.js';
import { chooseSettings } from '../src/balance/choice/choose-settings.js';
import { seededRandom } from './choice-instances.js';

// `STILLMAST_LONG=1` compares 50 rotors of each kind instead of 8.
const rotors = process.env.STILLMAST_LONG === '1' ? 50 : 8;
const SIDES = 32;

describe('chooseSettings(problem) is never worse than a mixed-integer linear solver (npm highs 1.15.3; reference library)', () => {
	let highs: Awaited<ReturnType<typeof loadHighs.default>>;
	beforeAll(async () => {
		// The package's types describe a module object where Node resolves the function itself.
		highs = await (loadHighs as unknown as typeof loadHighs.default)();
	});

	for (const [blades, touches] of [
		[3, 7],
		[3, 4],
		[4, 5],
	] as const) {
		it(`${blades} blades, at most ${touches} touched, ${rotors} invented rotors`, {
			timeout: 60_000 + rotors * 4000,
		}, () => {
			for (let seed = 1; seed <= rotors; seed++) {
				const rotor = discreteRotor(blades, seededRandom(seed));
				const answer = chooseSettings(asChoice(rotor, touches)).byTouches[0]!;
				if (answer.state !== 'found') throw new Error('nothing found');
				const { settings } = answer.best;
				const ours = worstOverGoal(rotor, settings);
				expect(answer.proved).toBe(true);
				expect(Math.sqrt(answer.best.value)).toBeCloseTo(ours, 9);
				expect(settings.slice(0, blades).reduce((sum, value) => sum + value, 0)).toBeLessThanOrEqual(PLATES_AT_MOST);
				expect(settings.filter((value) => value !== 0).length).toBeLessThanOrEqual(touches);

				const solution = highs.solve(asLinearProgram(rotor, SIDES, touches), { time_limit: 60 });
				expect(solution.Status).toBe('Optimal');
				const theirs = rotor.low.map((_, j) => Math.round(primal(solution.Columns[`x${j}`])));
				expect(ours).toBeLessThanOrEqual(worstOverGoal(rotor, theirs) * (1 + 1e-9));
				// Its optimum is a lower bound up to its own gap of 1e-4: ours may not be below what is possible.
				expect(ours * 0.1).toBeGreaterThanOrEqual(solution.ObjectiveValue * (1 - 1.1e-4));
			}
		});
	}
});

function primal(column: object | undefined): number {
	if (column === undefined || !('Primal' in column) || typeof column.Primal !== 'number') throw new Error('no value');
	return column.Primal;
}
