import type { RotorState } from './answer.js';
import { runsInUse } from './learn/learn.js';
import type { RotorProblem } from './model.js';

/** Where the last run in use stands against limits and goals. What was not read is never called inside. */
export function stateOf(problem: RotorProblem): RotorState {
	const last = runsInUse(problem).at(-1);
	if (!last) {
		const nothing = { worstRatioToLimit: null, worstRatioToGoal: null, withinLimit: null, withinGoal: null };
		return { run: null, ...nothing, unread: problem.channels.map((c) => c.id) };
	}
	const unread = problem.channels.filter((c) => last.readings[c.id] === undefined).map((c) => c.id);
	const worst = (of: 'limit' | 'goal'): number | null => {
		const ratios = problem.channels.flatMap((c) => {
			const reading = last.readings[c.id];
			return reading ? [reading.amplitudeIps / (of === 'limit' ? c.limitIps : (c.goalIps ?? c.limitIps))] : [];
		});
		return ratios.length === 0 ? null : Math.max(...ratios);
	};
	const toLimit = worst('limit');
	const toGoal = worst('goal');
	const inside = (ratio: number | null): boolean | null => {
		if (ratio === null) return null;
		if (ratio > 1) return false;
		return unread.length === 0 ? true : null;
	};
	return {
		run: last.id,
		worstRatioToLimit: toLimit,
		worstRatioToGoal: toGoal,
		withinLimit: inside(toLimit),
		withinGoal: inside(toGoal),
		unread,
	};
}
