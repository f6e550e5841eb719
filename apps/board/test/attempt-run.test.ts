import { calmDay, noTrouble, ouzel3Ramp, seededDraw } from '@stillmast/rehearsal';
import { describe, expect, it } from 'vitest';
import { AttemptRun } from '../src/lib/rehearsal/attempt-run.js';

const setting = { task: ouzel3Ramp(2), seed: 4, conditions: calmDay, trouble: noTrouble };

/** Frames of 8 to 40 ms and a lever that moves in each, with a hot day and a frozen gauge from the middle on. */
function flown(): { readonly drawn: readonly unknown[]; readonly judged: AttemptRun } {
	const page = new AttemptRun(setting);
	const judged = new AttemptRun(setting);
	const draw = seededDraw(11);
	const drawn: unknown[] = [];
	for (let leverPct = 20, frame = 0; !page.attempt.isOver; frame++) {
		leverPct = Math.min(80, leverPct + draw());
		const forS = 0.008 + 0.032 * draw();
		for (const run of [page, judged]) {
			if (frame === 150) run.make({ ...calmDay, oatC: 38 }, { ...noTrouble, frozenGauge: 'torquePct' });
			run.advance(leverPct, forS);
		}
		drawn.push([page.attempt.timeS, page.attempt.panel, page.attempt.isWarned]);
		expect([judged.attempt.timeS, judged.attempt.panel, judged.attempt.isWarned]).toEqual(drawn.at(-1));
	}
	return { drawn, judged };
}

describe('AttemptRun', () => {
	it('[RHS-32] two that are told the same say the same in every frame, whatever the frames are', () => {
		const { drawn, judged } = flown();
		expect(drawn.length).toBeGreaterThan(200);
		expect(judged.attempt.isOver).toBe(true);
	});

	it('keeps model time: no frame is lost or flown twice', () => {
		const run = new AttemptRun(setting);
		for (let frame = 0; frame < 100; frame++) run.advance(20, 0.0167);
		expect(run.attempt.timeS + run.attempt.task.countInS).toBeCloseTo(1.67, 2);
	});
});
