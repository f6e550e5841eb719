import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { adjudicate, type Line, type WitnessEvidence } from '@stillmast/core/exceedance';
import { describe, expect, it } from 'vitest';

const folder = join(import.meta.dirname, '..', '..', 'demo-scenarios', 'one-witness');
const json = (name: string): unknown => JSON.parse(readFileSync(join(folder, name), 'utf8'));
const { line, witness } = json('scenario.json') as { readonly line: Line; readonly witness: WitnessEvidence };
const expected = json('expected.json') as {
	readonly verdict: string;
	readonly peakLeast: number;
	readonly durationLeastS: number;
};

describe('demo-scenarios/one-witness', () => {
	it('says that the line was passed, by at least what was surely seen, and rules nothing above it out', () => {
		const judged = adjudicate(line, [witness]);
		if (!judged.ok) throw new Error(judged.problem.code);
		const { verdict, peak, durationS } = judged.value;
		expect(verdict).toBe(expected.verdict);
		expect([peak[0], durationS[0]]).toEqual([expected.peakLeast, expected.durationLeastS]);
		// nobody recorded it: no upper end
		expect([peak[1], durationS[1]]).toEqual([null, null]);
	});
});
