import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type RotorProblem, type Run, solveRotor } from '@stillmast/core/balance';
import { cardSchema } from '@stillmast/formats/card';
import { readAs } from '@stillmast/formats/problem';
import { readRotor } from '@stillmast/formats/rotor';
import { typeDataSchema } from '@stillmast/formats/type-data';
import { rotorJob } from '@stillmast/record/judge';
import { describe, expect, it } from 'vitest';
import { notCounted, playShipped } from './played.js';

const folder = join(import.meta.dirname, '..', '..', 'demo-scenarios', 'wrong-blade');
const json = (name: string): unknown => JSON.parse(readFileSync(join(folder, name), 'utf8'));

interface Expected {
	readonly registration: string;
	readonly afterFlight1: { readonly recommended: readonly string[] };
	readonly planted: {
		readonly run: string;
		readonly written: Readonly<Record<string, number>>;
		readonly fitted: Readonly<Record<string, number>>;
		readonly explanation: string;
		readonly scope: readonly string[];
		readonly posteriorAtLeast: number;
	};
}

const expected = json('expected.json') as Expected;

function problem(): RotorProblem {
	const read = readRotor(json('rotor.json'));
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	return read.value;
}

describe('scenario wrong-blade (invented)', () => {
	it('has a card and type data that the board accepts, and a registration of ours', () => {
		const card = readAs(cardSchema, json('card.json'));
		const type = readAs(typeDataSchema, json('type.json'));
		if (!card.ok || !type.ok) throw new Error(JSON.stringify([card, type]));
		expect(card.value.invented && type.value.invented).toBe(true);
		expect(expected.registration).toMatch(/^ZZ-[A-Z]{2,3}$/);
		const lines = new Set(type.value.limits.map(({ id }) => id));
		expect(card.value.steps.flatMap((step) => step.lines).filter((line) => !lines.has(line))).toEqual([]);
		expect(problem().channels).toEqual(type.value.rotors[0]?.channels);
		expect(problem().coefficients).toEqual(type.value.rotors[0]?.coefficients);
	});

	it('proposes after flight 1 what the record then says was done', () => {
		const whole = problem();
		const solved = solveRotor({ ...whole, runs: (whole.runs ?? []).slice(0, 1) });
		if (!solved.ok) throw new Error(JSON.stringify(solved.problem));
		const best = solved.value.proposals[solved.value.recommended ?? -1];
		expect(best?.changes.map(({ words }) => words)).toEqual(expected.afterFlight1.recommended);
		const [, second] = whole.runs ?? [];
		expect(Object.fromEntries(Object.entries(second?.settings ?? {}).filter(([, value]) => value !== 0))).toEqual(
			expected.planted.written,
		);
	});

	it('finds after flight 2 that the plates stand on the neighbour', () => {
		const solved = solveRotor(problem());
		if (!solved.ok) throw new Error(JSON.stringify(solved.problem));
		const { audit } = solved.value;
		const [first] = audit?.answers ?? [];
		expect(audit?.run).toBe(expected.planted.run);
		expect(audit?.fits).toBe(false);
		expect(first?.ids).toContain(expected.planted.explanation);
		expect(first?.scope).toEqual(expected.planted.scope);
		expect(first?.posterior).toBeGreaterThanOrEqual(expected.planted.posteriorAtLeast);
	});

	it('fits without a word when the plates are written down where they stand', () => {
		const whole = problem();
		const [first, second] = whole.runs ?? [];
		if (first === undefined || second === undefined) throw new Error('the scenario has two runs');
		const settings = { ...second.settings, 'plate-D': 0, ...expected.planted.fitted };
		const solved = solveRotor({ ...whole, runs: [first, { ...second, settings }] });
		if (!solved.ok) throw new Error(JSON.stringify(solved.problem));
		expect(solved.value.audit?.fits).toBe(true);
		expect(solved.value.audit?.best).toContain('as-recorded');
	});

	it('played, the record asks the solver just what rotor.json asks', async () => {
		const { state, typeData } = await playShipped('wrong-blade');
		expect(notCounted(state)).toEqual([]);
		const [main] = typeData.rotors;
		if (main === undefined) throw new Error('the type has a main rotor');
		const asked = (runs: readonly Run[] = []) => runs.map(({ settings, readings }) => ({ settings, readings }));
		expect(asked(rotorJob(state, main).problem.runs)).toEqual(asked(problem().runs));
	});
});
