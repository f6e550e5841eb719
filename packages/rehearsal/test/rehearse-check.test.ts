import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { RotorProblem } from '@stillmast/core/balance';
import { describe, expect, it } from 'vitest';
import { rehearseCheck } from '../src/index.js';

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

	it('[RHS-28] hands on what is wrong with the problem', () => {
		expect(rehearseCheck({ ...problem, coefficients: [] }, 7, 3).ok).toBe(false);
	});
});
