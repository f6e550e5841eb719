import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { RotorProblem } from '@stillmast/core/balance';
import { describe, expect, it } from 'vitest';
import { rehearseCheck, rehearsedRun } from '../src/index.js';

const scenario = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios', 'after-gearbox-smoothing', 'rotor.json');
const problem = JSON.parse(readFileSync(scenario, 'utf8')) as RotorProblem;

describe('rehearseCheck(problem, seed, mostCorrections)', () => {
	it('[RHS-27] brings at least 95 % of 40 hidden tails inside every limit within 3 corrections', () => {
		const checks = Array.from({ length: 40 }, (_, tail) => rehearseCheck(problem, 101 + tail, 3));
		const inside = checks.filter((check) => check.ok && check.value.isInside);
		expect(inside.length).toBeGreaterThanOrEqual(38);
		// a rehearsal without anything to correct teaches nothing: most tails start outside
		expect(checks.filter((check) => check.ok && check.value.corrections > 0).length).toBeGreaterThan(30);
	}, 300_000);

	it('[RHS-20] rehearses the same check for the same seed', () => {
		expect(rehearseCheck(problem, 7, 1)).toEqual(rehearseCheck(problem, 7, 1));
	});

	it('[RHS-30] a run read by itself is the run of the rehearsed check, whatever was read before', () => {
		const check = rehearseCheck(problem, 103, 2);
		if (!check.ok) throw new Error(check.problem.code);
		expect(check.value.runs.length).toBeGreaterThan(1);
		for (const [at, run] of check.value.runs.entries()) {
			const read = rehearsedRun(problem, 103, at + 1, run.settings ?? {});
			for (const { channel, amplitudeIps, phaseDeg } of read)
				expect(run.readings[channel]).toEqual({ amplitudeIps, phaseDeg });
		}
		expect(rehearsedRun(problem, 103, 1, {})).not.toEqual(rehearsedRun(problem, 103, 2, {}));
	});

	it('[RHS-28] hands on what is wrong with the problem', () => {
		expect(rehearseCheck({ ...problem, coefficients: [] }, 7, 3).ok).toBe(false);
	});
});
