import { fail, ok, type Problem, type Result } from '../result/index.js';

/** What a difference from an engine's own baseline asks for. Not an answer on airworthiness: the manual's rule, applied. */
export type BaselineAction = 'none' | 'write-up' | 'stop';

export interface BaselineRule {
	/** From this difference on, either way, it is written up. */
	readonly writeUpC: number;
	/** From this one on the engine is not used until it is explained. */
	readonly stopC: number;
}

export interface BaselineJudgement {
	readonly differenceC: number;
	readonly action: BaselineAction;
	/** Cooler than its baseline by that much: rather the indication or the baseline is wrong. */
	readonly suspectIndication: boolean;
}

/** The daily comparison with an engine's own baseline temperature; both figures come from the type. @rule PWR-13 */
export function judgeBaseline(recordedC: number, baselineC: number, rule: BaselineRule): BaselineJudgement {
	const differenceC = recordedC - baselineC;
	const size = Math.abs(differenceC);
	const action = size >= rule.stopC ? 'stop' : size >= rule.writeUpC ? 'write-up' : 'none';
	return { differenceC, action, suspectIndication: differenceC <= -rule.writeUpC };
}

/** Ends of the torque-ratio rule: at or below the first the ratio is 1, at or above the second the engine's factor. */
export interface TorqueRatioEnds {
	readonly coldC: number;
	readonly warmC: number;
}

/**
 * Share of the specification torque that an engine of this torque factor gives. Between the two ends the manual's chart
 * is read: the rule says nothing there. Problems: `read-the-chart`, `out-of-range` for a factor that is none.
 * @rule PWR-15
 */
export function torqueRatio(
	torqueFactor: number,
	oatC: number,
	{ coldC, warmC }: TorqueRatioEnds,
): Result<number, Problem & { readonly code: 'read-the-chart' | 'out-of-range' }> {
	if (!(torqueFactor > 0 && torqueFactor <= 1)) {
		return fail({ code: 'out-of-range', found: torqueFactor, needed: 'above 0, at most 1' });
	}
	if (oatC <= coldC) return ok(1);
	if (oatC >= warmC) return ok(torqueFactor);
	return fail({ code: 'read-the-chart', found: oatC, needed: `at most ${coldC} °C or at least ${warmC} °C` });
}
