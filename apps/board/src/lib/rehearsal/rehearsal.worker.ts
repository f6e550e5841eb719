import { judgeAttempt, ouzel3, settledAt } from '@stillmast/rehearsal';
import { AttemptRun } from './attempt-run.js';
import type { Flown, Said, Told } from './messages.js';

/** The simulated helicopter off the page's thread: it records an attempt and judges it. The same model runs in Node. */

let run: AttemptRun | null = null;

self.onmessage = (event: MessageEvent<Told>) => {
	const told = event.data;
	switch (told.tell) {
		case 'begin':
			run = new AttemptRun(told);
			return;
		case 'make':
			run?.make(told.conditions, told.trouble);
			return;
		case 'lever':
			run?.advance(told.leverPct, told.forS);
			if (run?.attempt.isOver !== true) return;
			say({ say: 'over', flown: flownOf(run) });
			run = null;
	}
};

function flownOf({ attempt }: AttemptRun): Flown {
	const { task, conditions } = attempt;
	const trace = attempt.trace();
	const torqueAt = (leverPct: number) => settledAt(ouzel3, leverPct, conditions).torquePct;
	return {
		judgement: judgeAttempt(trace, task),
		trace,
		task,
		fromTorquePct: torqueAt(task.fromPct),
		toTorquePct: torqueAt(task.toPct),
	};
}

function say(said: Said): void {
	self.postMessage(said);
}
