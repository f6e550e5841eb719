import { fail, ok, type Problem, type Result } from '../result/index.js';

/** Averages over one steady part of the check, from one window each. */
export interface BleedPart {
	/** Middle of its window. */
	readonly timeS: number;
	/** How long it was held steady. */
	readonly heldS: number;
	readonly temperatureC: number;
	readonly torquePct: number;
	/** Standard deviation of the mean temperature. */
	readonly temperatureSdC: number;
}

export interface BleedBracket {
	readonly offBefore: BleedPart;
	readonly on: BleedPart;
	readonly offAfter: BleedPart;
}

export interface BleedRule {
	/** Rise that the type expects. */
	readonly riseC: { readonly least: number; readonly most: number };
	/** What 1 % of torque does to the temperature. */
	readonly cPerTorquePct: number;
	/** Each part is held at least this long; 30 s is usual practice. */
	readonly heldAtLeastS: number;
	/** Parts may differ by this much from their mean; ± 0.5 % is usual practice. */
	readonly torqueWithinPct: number;
	/** Temperature may stay up by this much after switching off, beyond the drift that is allowed for. */
	readonly staysUpC: number;
}

export type BleedVerdict = 'works' | 'no-rise' | 'too-much' | 'stays-up-after-off' | 'falls';

export interface BleedJudgement {
	readonly verdict: BleedVerdict;
	/** Rise of the on part over the line between the two off parts, torque corrected. */
	readonly riseC: number;
	readonly riseSdC: number;
	readonly rise95C: readonly [number, number];
	/** Whether the whole interval lies on the verdict's side of the band. */
	readonly sure: boolean;
	/** Change of the off level from before to after, torque corrected, over the whole check. */
	readonly driftC: number;
	readonly torqueCorrectionsC: Readonly<Record<'offBefore' | 'on' | 'offAfter', number>>;
}

export interface BleedProblem extends Problem {
	readonly code: 'held-too-short' | 'torque-apart' | 'out-of-order' | 'not-a-number';
}

const z975 = 1.96;
const parts = ['offBefore', 'on', 'offAfter'] as const;

/**
 * A bleed consumer checked off, on and off again at one torque. Drift of the day is taken as a line between the two off
 * parts, and what is left of a torque difference is corrected by the type's figure.
 * Problems: `BleedProblem`. @rule BLD-1
 * @rule BLD-2
 * @rule BLD-3
 */
export function judgeBleed(bracket: BleedBracket, rule: BleedRule): Result<BleedJudgement, BleedProblem> {
	const fault = bracketFault(bracket, rule);
	if (fault !== undefined) return fail(fault);
	const { offBefore, on, offAfter } = bracket;
	const meanPct = (offBefore.torquePct + on.torquePct + offAfter.torquePct) / 3;
	const correction = (part: BleedPart): number => -rule.cPerTorquePct * (part.torquePct - meanPct);
	const level = (part: BleedPart): number => part.temperatureC + correction(part);
	const share = (on.timeS - offBefore.timeS) / (offAfter.timeS - offBefore.timeS);
	const riseC = level(on) - (level(offBefore) * (1 - share) + level(offAfter) * share);
	const riseSdC = Math.hypot(
		on.temperatureSdC,
		offBefore.temperatureSdC * (1 - share),
		offAfter.temperatureSdC * share,
	);
	const driftC = level(offAfter) - level(offBefore);
	const verdict = verdictOf(level(on) - level(offBefore), riseC, driftC, rule);
	const rise95C = [riseC - z975 * riseSdC, riseC + z975 * riseSdC] as const;
	const torqueCorrectionsC = { offBefore: correction(offBefore), on: correction(on), offAfter: correction(offAfter) };
	const sure = sureOf(verdict, rise95C, driftC, Math.hypot(offBefore.temperatureSdC, offAfter.temperatureSdC), rule);
	return ok({ verdict, riseC, riseSdC, rise95C, sure, driftC, torqueCorrectionsC });
}

/**
 * A level that stays up after off looks like drift and halves the rise: it is told by the first step, which is a rise of
 * the expected kind, followed by none back.
 */
function verdictOf(firstStepC: number, riseC: number, driftC: number, rule: BleedRule): BleedVerdict {
	if (driftC > rule.staysUpC && firstStepC >= rule.riseC.least) return 'stays-up-after-off';
	if (riseC < 0 && -riseC >= rule.riseC.least) return 'falls';
	if (riseC < rule.riseC.least) return 'no-rise';
	return riseC > rule.riseC.most ? 'too-much' : 'works';
}

function sureOf(
	verdict: BleedVerdict,
	[low, high]: readonly [number, number],
	driftC: number,
	driftSdC: number,
	{ riseC, staysUpC }: BleedRule,
): boolean {
	switch (verdict) {
		case 'works':
			return low >= riseC.least && high <= riseC.most;
		case 'no-rise':
			return high < riseC.least;
		case 'too-much':
			return low > riseC.most;
		case 'falls':
			return high <= -riseC.least;
		case 'stays-up-after-off':
			return driftC - z975 * driftSdC > staysUpC;
	}
}

function bracketFault(bracket: BleedBracket, rule: BleedRule): BleedProblem | undefined {
	for (const part of parts) {
		const { timeS, heldS, temperatureC, torquePct, temperatureSdC } = bracket[part];
		if (![timeS, heldS, temperatureC, torquePct, temperatureSdC].every(Number.isFinite)) {
			return { code: 'not-a-number', needed: 'numbers', path: `$.${part}` };
		}
		if (heldS < rule.heldAtLeastS) {
			return { code: 'held-too-short', found: heldS, needed: rule.heldAtLeastS, path: `$.${part}.heldS` };
		}
	}
	const { offBefore, on, offAfter } = bracket;
	if (!(offBefore.timeS < on.timeS && on.timeS < offAfter.timeS)) {
		return { code: 'out-of-order', found: parts.map((part) => bracket[part].timeS), needed: 'off, on, off' };
	}
	const torques = parts.map((part) => bracket[part].torquePct);
	const spanPct = Math.max(...torques) - Math.min(...torques);
	if (spanPct <= 2 * rule.torqueWithinPct) return undefined;
	return { code: 'torque-apart', found: spanPct, needed: 2 * rule.torqueWithinPct, path: '$' };
}
