// How many simulated seconds pass in one second: `node bench/speed.mjs` after `npm run build`.
import { calmDay, ouzel3, ouzel3Ramp, RampAttempt, seededDraw } from '@stillmast/rehearsal';

const draw = seededDraw(1);
const rounds = 60;
const task = { ...ouzel3Ramp(2), afterGoS: 57 };
let simulatedS = 0;
let spentMs = 0;
for (let round = -10; round < rounds; round += 1) {
	const attempt = new RampAttempt({ type: ouzel3, conditions: calmDay, task, draw });
	const beganMs = performance.now();
	while (!attempt.isOver) attempt.step(50 + 30 * Math.sin(attempt.timeS));
	if (round < 0) continue;
	spentMs += performance.now() - beganMs;
	simulatedS += task.countInS + task.afterGoS;
}
console.log(`${simulatedS} s simulated with gauges and look-ahead in ${(spentMs / 1000).toFixed(2)} s`);
console.log(`${Math.round((1000 * simulatedS) / spentMs)} times real time`);
