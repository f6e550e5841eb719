import { calmDay, judgeAttempt, ouzel3, RampAttempt, seededDraw, settledAt, stepS } from '@stillmast/rehearsal';
import type { Said, Told } from './messages.js';

/** The simulated helicopter off the page's thread. The same model runs in Node. */

let attempt: RampAttempt | null = null;
/** Time told but not yet stepped: steps are fixed, frames are not. */
let owedS = 0;

self.onmessage = (event: MessageEvent<Told>) => {
	const told = event.data;
	if (told.tell === 'begin') {
		const { task, seed } = told;
		attempt = new RampAttempt({ type: ouzel3, conditions: calmDay, task, draw: seededDraw(seed) });
		owedS = 0;
		return;
	}
	if (attempt !== null) advance(attempt, told.leverPct, told.forS);
};

function advance(flying: RampAttempt, leverPct: number, forS: number): void {
	owedS += forS;
	while (owedS >= stepS && !flying.isOver) {
		flying.step(leverPct);
		owedS -= stepS;
	}
	say({ say: 'now', timeS: flying.timeS, panel: flying.panel, isWarned: flying.isWarned });
	if (!flying.isOver) return;
	attempt = null;
	const { task } = flying;
	const trace = flying.trace();
	const torqueAt = (lever: number) => settledAt(ouzel3, lever, flying.conditions).torquePct;
	say({
		say: 'over',
		flown: {
			judgement: judgeAttempt(trace, task),
			trace,
			task,
			fromTorquePct: torqueAt(task.fromPct),
			toTorquePct: torqueAt(task.toPct),
		},
	});
}

function say(said: Said): void {
	self.postMessage(said);
}
