import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { checkRotor, learnRotor, type RotorProblem, solveRotor } from '@stillmast/core/balance';
import { readAs } from '@stillmast/formats/problem';
import { typeDataSchema } from '@stillmast/formats/type-data';
import { describe, expect, it } from 'vitest';
import { verifyRecordFile } from '../src/file/index.js';
import { afterEarlier, rotorJob } from '../src/judge/index.js';

/** The signed check of the invented scenario, once as the earlier check and once as this one. */
const folder = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios', 'after-gearbox-smoothing');
const { state } = await verifyRecordFile(readFileSync(join(folder, 'ZZ-LMA-2026-11-18.check.json')));
const read = readAs(typeDataSchema, JSON.parse(readFileSync(join(folder, 'type.json'), 'utf8')));
if (state === null || !read.ok) throw new Error('the signed check or its type cannot be read');
const rotor = read.value.rotors.find(({ id }) => id === 'main');
if (rotor === undefined) throw new Error('the type has no main rotor');
const earlier = rotorJob(state, rotor).problem;
const firstRun: RotorProblem = { ...earlier, runs: (earlier.runs ?? []).slice(0, 1) };

/** Spread of what is learned of the kind `plate`, as wide as the solver tells it. */
function gainRange(problem: RotorProblem): number {
	const solved = solveRotor(problem, { seed: 1, draws: 1000 });
	if (!solved.ok) throw new Error(JSON.stringify(solved.problem));
	const plate = solved.value.learned.find(({ kind }) => kind === 'plate');
	if (plate === undefined) throw new Error('nothing is learned of plates');
	return plate.gain95[1] - plate.gain95[0];
}

describe('afterEarlier(problem, earlier)', () => {
	const both = afterEarlier(firstRun, earlier);

	it('[JDG-14] puts the earlier runs first, with work on the rotor between, and the solver takes it', () => {
		expect(both.runs?.map(({ id, workSince }) => [id, workSince ?? null])).toEqual([
			['earlier 1.1', null],
			['earlier 2.1', null],
			['1.1', 'rotor-part'],
		]);
		expect(checkRotor(both).ok).toBe(true);
		expect(learnRotor(both).layout.runs).toHaveLength(1);
	});

	it('[JDG-14] knows less of this rotor than right after the earlier check, and more than with nothing of it', () => {
		const then = gainRange(earlier);
		const now = gainRange(both);
		const alone = gainRange(firstRun);
		expect(now).toBeGreaterThan(then);
		expect(now).toBeLessThan(alone);
	});

	it('[JDG-14] takes nothing in from another rotor, nor before the first run', () => {
		const other: RotorProblem = { ...earlier, adjusters: earlier.adjusters.slice(1) };
		expect(afterEarlier(firstRun, other)).toBe(firstRun);
		const unflown: RotorProblem = { ...earlier, runs: [] };
		expect(afterEarlier(unflown, earlier)).toBe(unflown);
	});
});
