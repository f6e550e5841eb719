import { judgeAttempt, ouzel3, RampAttempt, seededDraw, settledAt, stepS } from '@stillmast/rehearsal';
import type { Said, Told } from './messages.js';

/** The simulated helicopter off the page's thread. The same model runs in Node. */

let attempt: RampAttempt | null = null;
/** Time told but not yet stepped: steps are fixed, frames are not. */
let owedS = 0;
/** Newest word of whoever sets the conditions. */
let word = 0;

self.onmessage = (event: MessageEvent<Told>) => {
	const told = event.data;
	if (told.tell === 'begin') {
		const { task, seed, conditions } = told;
		attempt = new RampAttempt({ type: ouzel3, conditions, task, draw: seededDraw(seed) });
		attempt.trouble = told.trouble;
		word = told.word;
		owedS = 0;
		return;
	}
	if (told.tell === 'make') {
		word = told.word;
		if (attempt === null) return;
		attempt.conditions = told.conditions;
		attempt.trouble = told.trouble;
		return;
	}
	if (attempt !== null) advance(attempt, told.leverPct, told.forS, told.movedAtMs);
};

function advance(flying: RampAttempt, leverPct: number, forS: number, movedAtMs: number | null): void {
	owedS += forS;
	while (owedS >= stepS && !flying.isOver) {
		flying.step(leverPct);
		owedS -= stepS;
	}
	const { timeS, panel, isWarned } = flying;
	say({ say: 'now', timeS, panel, isWarned, word, movedAtMs });
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
