import { describe, expect, it } from 'vitest';
import {
	calmDay,
	leverAtPct,
	noTrouble,
	ouzel3,
	ouzel3Ramp,
	RampAttempt,
	seededDraw,
	type Trouble,
} from '../src/index.js';

const ramp = { fromPct: 20, toPct: 100, startS: 0, durationS: 1.2, overshootShare: 0.1 };

/** Flies the same hasty ramp; the trouble begins at the time given. */
function fly(trouble: Trouble, fromS = -Number.MAX_VALUE) {
	const attempt = new RampAttempt({ type: ouzel3, conditions: calmDay, task: ouzel3Ramp(2), draw: seededDraw(4) });
	let warned = false;
	while (!attempt.isOver) {
		if (attempt.timeS >= fromS && attempt.trouble !== trouble) attempt.trouble = trouble;
		attempt.step(leverAtPct(ramp, attempt.timeS));
		warned ||= attempt.isWarned;
	}
	return { trace: attempt.trace(), warned };
}
const numbers = (column: readonly (number | null)[]) => column.flatMap((value) => (value === null ? [] : [value]));

describe('trouble', () => {
	it('[RHS-29] a vibration fault shows on its gauge and on no other', () => {
		const sound = fly(noTrouble);
		const faulty = fly({ ...noTrouble, vibrationIps: 0.4 });
		expect(Math.max(...numbers(sound.trace.channels.vibrationIps))).toBeLessThan(0.2);
		expect(Math.min(...numbers(faulty.trace.channels.vibrationIps).slice(50))).toBeGreaterThan(0.3);
		expect(faulty.trace.channels.torquePct).toEqual(sound.trace.channels.torquePct);
	});

	it('[RHS-29] a silent warning says nothing where a sound one warns', () => {
		expect(fly(noTrouble).warned).toBe(true);
		const silent = fly({ ...noTrouble, isWarningSilent: true });
		expect(silent.warned).toBe(false);
		expect(silent.trace).toEqual(fly(noTrouble).trace);
	});

	it('[RHS-29] a frozen gauge stays where it was and thaws again; the others move', () => {
		const frozen = fly({ ...noTrouble, frozenGauge: 'torquePct' }, 0.2);
		const at = frozen.trace.timeS.findIndex((timeS) => timeS >= 0.3);
		const after = numbers(frozen.trace.channels.torquePct.slice(at));
		// scatter of 0.15 and rounding to 0.1 go on
		expect(Math.max(...after) - Math.min(...after)).toBeLessThan(1.5);
		expect(
			Math.max(...numbers(frozen.trace.channels.ngPct)) - Math.min(...numbers(frozen.trace.channels.ngPct)),
		).toBeGreaterThan(5);
		const attempt = new RampAttempt({ type: ouzel3, conditions: calmDay, task: ouzel3Ramp(2), draw: seededDraw(4) });
		attempt.step(20);
		attempt.trouble = { ...noTrouble, frozenGauge: 'torquePct' };
		attempt.trouble = noTrouble;
		while (attempt.timeS < 5) attempt.step(80);
		expect(attempt.panel.torquePct).toBeGreaterThan(70);
	});
});
