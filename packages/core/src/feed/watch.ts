import { type Limits, LiveLimits, type LiveState } from '../exceedance/index.js';
import { type HoldJudgement, type HoldProblem, type HoldRule, judgeHold } from '../power/index.js';
import type { Result } from '../result/index.js';
import { type Movement, type TransitionFault, timeMovement } from '../transition/index.js';

/** One moment of a feed, on the source's own clock. */
export interface FeedMoment {
	readonly timeS: number;
	readonly values: Readonly<Record<string, number>>;
	readonly states?: Readonly<Record<string, string>> | undefined;
}

/** How live a source is: `silent` before its first moment, `stalled` when nothing came for a while. */
export type FeedPulse = 'silent' | 'live' | 'stalled';

/** What was wrong with a source's times so far. */
export interface FeedFaults {
	readonly gaps: number;
	readonly repeats: number;
	readonly backward: number;
	/** Came faster than is looked at; recorded all the same. */
	readonly passedOver: number;
}

/** Moments are looked at this often at most: 50 a second tell a hand's movement, and a flood must not fill memory. */
const leastStepS = 0.0195;
/** What is kept for holds and ramps. */
const keptS = 90;
const momentsMax = Math.ceil(keptS / leastStepS);
const stalledAfterS = 1;
/** Going back by more than this, the source has begun anew. */
const anewS = 1;
const gapS = 0.5;

/**
 * Watches one live source: which limits hold now and how near they are, whether a condition is held steady, how long the
 * newest movement took. The same judgements as for files. Bounded memory, whatever the source does: it may stall, jump,
 * repeat itself or flood. @rule FEED-6 FEED-7 FEED-8 FEED-9
 */
export class FeedWatch {
	readonly #limits: Limits;
	#live: LiveLimits;
	#moments: FeedMoment[] = [];
	#last: { readonly timeS: number; readonly arrivedS: number } | null = null;
	#gaps = 0;
	#repeats = 0;
	#backward = 0;
	#passedOver = 0;

	constructor(limits: Limits) {
		this.#limits = limits;
		this.#live = new LiveLimits(limits);
	}

	get faults(): FeedFaults {
		return {
			gaps: this.#gaps,
			repeats: this.#repeats,
			backward: this.#backward,
			passedOver: this.#passedOver,
		};
	}

	/** @param arrivedS when it came, on the watcher's own clock, which never goes back */
	hear(moment: FeedMoment, arrivedS: number): void {
		const { timeS } = moment;
		if (!Number.isFinite(timeS)) return;
		const last = this.#last;
		if (last !== null) {
			const stepS = timeS - last.timeS;
			if (stepS === 0) {
				this.#repeats += 1;
				this.#last = { timeS, arrivedS };
				return;
			}
			if (stepS < 0) {
				this.#backward += 1;
				// a late moment is not now; a source that begins anew is
				if (stepS > -anewS) return;
				this.#live = new LiveLimits(this.#limits);
				this.#moments = [];
			} else if (stepS < leastStepS) {
				this.#passedOver += 1;
				return;
			} else if (stepS > gapS) {
				this.#gaps += 1;
				// what happened meanwhile has no rate
				this.#live = new LiveLimits(this.#limits);
			}
		}
		this.#last = { timeS, arrivedS };
		this.#moments.push(moment);
		// cut rarely and by half, so that a long feed does not move the whole list at every moment
		if (this.#moments.length > 2 * momentsMax) this.#moments = this.#moments.slice(-momentsMax);
		for (const [id, value] of Object.entries(moment.values)) this.#live.push(id, timeS, value);
		for (const [id, state] of Object.entries(moment.states ?? {})) this.#live.push(id, timeS, state);
	}

	pulse(nowS: number): FeedPulse {
		if (this.#last === null) return 'silent';
		return nowS - this.#last.arrivedS > stalledAfterS ? 'stalled' : 'live';
	}

	/** Since the newest moment came; null before the first. */
	ageS(nowS: number): number | null {
		return this.#last === null ? null : Math.max(0, nowS - this.#last.arrivedS);
	}

	/** The newest moment; null when it is too old to be shown as now. */
	newest(nowS: number): FeedMoment | null {
		return this.pulse(nowS) === 'live' ? (this.#moments.at(-1) ?? null) : null;
	}

	/** Lines that hold now and how near each is; a parameter without a fresh sample is blank. */
	limits(nowS: number): readonly LiveState[] {
		const last = this.#last;
		if (last === null) return [];
		return this.#live.at(last.timeS + Math.max(0, nowS - last.arrivedS));
	}

	/** Whether the condition has been held steady, over what is kept (90 s). */
	hold(
		rule: HoldRule,
		confirmed: Readonly<Record<string, number | string | boolean>>,
	): Result<HoldJudgement, HoldProblem> {
		const ids = [...new Set([...rule.bands.map(({ id }) => id), ...rule.record, ...rule.limits.map(({ id }) => id)])];
		const needS = rule.stabiliseS + rule.recordS;
		const fromS = (this.#last?.timeS ?? 0) - needS - 1;
		const rows = this.#moments.filter(
			({ timeS, values }) => timeS >= fromS && ids.every((id) => values[id] !== undefined),
		);
		const columns = ids.map((id) => [id, rows.map(({ values }) => values[id] ?? 0)] as const);
		return judgeHold({ timesS: rows.map(({ timeS }) => timeS), columns: Object.fromEntries(columns), confirmed }, rule);
	}

	/** The movement of one signal within the last `withinS` seconds. */
	movement(
		signal: string,
		withinS: number,
		levels: { readonly from?: number | undefined; readonly to?: number | undefined } = {},
	): Result<Movement, TransitionFault> {
		return timeMovement(this.recent(signal, withinS), levels);
	}

	/** Samples of one signal within the last seconds, oldest first. */
	recent(signal: string, withinS: number): readonly { readonly timeS: number; readonly value: number }[] {
		const fromS = (this.#last?.timeS ?? 0) - withinS;
		return this.#moments.flatMap(({ timeS, values }) => {
			const value = values[signal];
			return value === undefined || timeS < fromS ? [] : [{ timeS, value }];
		});
	}
}
