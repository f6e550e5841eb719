import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Run, solveRotor } from '@stillmast/core/balance';
import { readRotor } from '@stillmast/formats/rotor';
import { verifyRecordFile } from '@stillmast/record/file';
import { rotorJob } from '@stillmast/record/judge';
import { describe, expect, it } from 'vitest';
import { notCounted, playShipped, sound } from './played.js';

const folder = join(import.meta.dirname, '..', '..', 'demo-scenarios', 'after-gearbox-smoothing');
const text = (name: string) => readFileSync(join(folder, name), 'utf8');

interface Expected {
	readonly solve: {
		readonly withinLimit: boolean;
		readonly recommendedTouches: number;
		readonly changesByTouches: Readonly<Record<string, readonly string[]>>;
		readonly chanceAllWithinLimitAtLeast: number;
	};
	readonly check: {
		readonly file: string;
		readonly record: string;
		readonly entries: number;
		readonly signedBy: readonly string[];
		readonly settings: Readonly<Record<string, number>>;
	};
}

const expected = JSON.parse(text('expected.json')) as Expected;

describe('scenario after-gearbox-smoothing (invented)', () => {
	it('proposes what the scenario expects, in shop words', () => {
		const read = readRotor(JSON.parse(text('rotor.json')));
		if (!read.ok) throw new Error(JSON.stringify(read.problem));
		const solved = solveRotor(read.value);
		if (!solved.ok) throw new Error(JSON.stringify(solved.problem));
		const { state, proposals, recommended } = solved.value;
		expect(state.withinLimit).toBe(expected.solve.withinLimit);
		const best = proposals[recommended ?? -1];
		expect(best?.touches).toBe(expected.solve.recommendedTouches);
		expect(best?.chanceAllWithinLimit).toBeGreaterThanOrEqual(expected.solve.chanceAllWithinLimitAtLeast);
		for (const [touches, words] of Object.entries(expected.solve.changesByTouches)) {
			const proposal = proposals.find((one) => one.touches === Number(touches));
			expect(proposal?.changes.map((change) => change.words)).toEqual(words);
		}
	});

	it('verifies the check signed on 18 November 2026 for ever', async () => {
		const report = await verifyRecordFile(text(expected.check.file));
		expect(report.faults).toEqual([]);
		expect(report.signedAndWhole).toBe(true);
		expect(report.record).toBe(expected.check.record);
		expect(report.entries).toBe(expected.check.entries);
		expect(report.purpose).toBe('demo');
		expect(report.notCounted).toEqual([]);
		expect([...(report.signing?.contents.at(-1)?.roles ?? [])].sort()).toEqual([...expected.check.signedBy].sort());
		const settings = report.state?.rotors.get('main')?.settings;
		for (const [adjuster, value] of Object.entries(expected.check.settings)) {
			expect(settings?.get(adjuster)?.value).toBe(value);
		}
		expect(report.state?.rotors.get('main')?.inspectionsOpen).toEqual([]);
	});

	it('played, the record asks the solver just what rotor.json asks', async () => {
		const { state, typeData } = await playShipped('after-gearbox-smoothing');
		expect(notCounted(state)).toEqual([]);
		const [main] = typeData.rotors;
		if (main === undefined) throw new Error('the type has a main rotor');
		const asked = (runs: readonly Run[] = []) => runs.map(({ settings, readings }) => ({ settings, readings }));
		expect(asked(rotorJob(state, main).problem.runs)).toEqual(
			asked(sound(readRotor(JSON.parse(text('rotor.json')))).runs),
		);
	});
});
