import type { LimitedParameter, Limits, Line } from './model.js';
import { meets, stateMeets, tableBound } from './statement.js';
import { maybe, never, type Status, surely } from './track.js';

/** What a crew should have, and how much of it slow sampling may add before ramps that end short are warned of too. */
const warningS = 0.3;
const mostAddedS = 0.088;
/** A movement whose rate has begun to fall is taken to come to rest in this time, until its own fall is measured. */
const easeS = 0.6;
/** A rate counts as falling below this share of the fastest: what is above it are the last bits of a double. */
const fallingShare = 0.9999;
/** An eased movement that would end this little short of the bound is warned of as well: % of the bound's own size. */
const shortPct = 1.5;
/** How far back rates are looked at. */
const keptS = 1;
const freshLeastS = 0.5;
const freshMostS = 1;

interface Sample {
	readonly timeS: number;
	readonly value: number;
}

export interface LiveLine {
	readonly line: string;
	readonly reference: string;
	/** Whether it holds now: surely, or maybe because a condition is not known. */
	readonly holds: 'surely' | 'maybe';
	readonly bound: number;
	/** Distance to the bound; negative beyond it. */
	readonly margin: number;
	readonly maxSeconds: number;
	/** Time to the bound at the greatest recent rate: never later than a crossing whose rate does not rise. Null: not nearing. */
	readonly lookAheadS: number | null;
	/** The bound is about to be crossed. */
	readonly soon: boolean;
}

export interface LiveState {
	readonly parameter: string;
	readonly fresh: boolean;
	readonly ageS: number | null;
	/** Null when not fresh: an old value is not shown as if it were now. */
	readonly value: number | null;
	/** Lines that hold or may hold, nearest first; empty when not fresh. */
	readonly lines: readonly LiveLine[];
}

/** Which line holds now and how far it is, sample by sample. @rule EXC-14 EXC-15 */
export class LiveLimits {
	readonly #limits: Limits;
	readonly #samples = new Map<string, Sample[]>();
	readonly #states = new Map<string, { readonly timeS: number; readonly state: string }>();

	constructor(limits: Limits) {
		this.#limits = limits;
	}

	/** A sample of any column, in order of its own time; one that is not later is ignored. */
	push(parameter: string, timeS: number, value: number | string): void {
		if (typeof value === 'string') {
			this.#states.set(parameter, { timeS, state: value });
			return;
		}
		const samples = this.#samples.get(parameter) ?? [];
		const last = samples.at(-1);
		if (!Number.isFinite(value) || !Number.isFinite(timeS) || (last !== undefined && timeS <= last.timeS)) return;
		samples.push({ timeS, value });
		while (samples.length > 3 && timeS - (samples[0] as Sample).timeS > keptS) samples.shift();
		this.#samples.set(parameter, samples);
	}

	at(nowS: number): readonly LiveState[] {
		return this.#limits.parameters
			.filter(({ lines = [] }) => lines.length > 0)
			.map((parameter) => {
				const samples = this.#samples.get(parameter.id) ?? [];
				const last = samples.at(-1);
				const ageS = last === undefined ? null : nowS - last.timeS;
				const fresh = ageS !== null && ageS <= freshForS(parameter, samples);
				if (last === undefined || !fresh)
					return { parameter: parameter.id, fresh: false, ageS, value: null, lines: [] };
				const lines = (parameter.lines ?? []).flatMap((line) => this.#line(line, samples, ageS, nowS));
				lines.sort((a, b) => a.margin - b.margin);
				return { parameter: parameter.id, fresh, ageS, value: last.value, lines };
			});
	}

	#line(line: Line, samples: readonly Sample[], ageS: number, nowS: number): readonly LiveLine[] {
		const bound = this.#boundOf(line, nowS);
		if (bound === null) return [];
		let status: number = surely;
		for (const [id, condition] of Object.entries(line.when ?? {})) status &= this.#holds(id, condition, nowS);
		if (status === never) return [];
		const sense = line.below === undefined ? 1 : -1;
		const margin = sense * (bound - (samples.at(-1) as Sample).value);
		const rates = ratesOf(samples, sense);
		const { rate } = rates;
		const lookAheadS = margin <= 0 ? 0 : rate > 0 ? Math.max(0, margin / rate - ageS) : null;
		return [
			{
				line: line.id,
				reference: line.reference,
				holds: status === maybe ? 'maybe' : 'surely',
				bound,
				margin,
				maxSeconds: line.maxSeconds,
				lookAheadS,
				soon: lookAheadS !== null && warns(margin, bound, lookAheadS, rates),
			},
		];
	}

	#boundOf({ above, below, between, aboveByTable }: Line, nowS: number): number | null {
		const straight = above ?? below ?? between?.[0];
		if (straight !== undefined || aboveByTable === undefined) return straight ?? null;
		const at = this.#freshValue(aboveByTable.parameter, nowS);
		return at === null ? Math.min(...aboveByTable.points.map(([, bound]) => bound)) : tableBound(aboveByTable, at);
	}

	#holds(id: string, condition: NonNullable<Line['when']>[string], nowS: number): Status {
		const state = this.#states.get(id);
		if (state !== undefined) return stateMeets(state.state, condition).status;
		const value = this.#freshValue(id, nowS);
		return value === null ? maybe : meets(value, condition).status;
	}

	#freshValue(id: string, nowS: number): number | null {
		const samples = this.#samples.get(id) ?? [];
		const last = samples.at(-1);
		const parameter = this.#limits.parameters.find((one) => one.id === id) ?? { id };
		return last !== undefined && nowS - last.timeS <= freshForS(parameter, samples) ? last.value : null;
	}
}

/** The greater of half a second and three periods, at most a second. */
function freshForS({ periodS }: LimitedParameter, samples: readonly Sample[]): number {
	const [before, last] = samples.slice(-2);
	const seenS = before === undefined || last === undefined ? 0 : last.timeS - before.timeS;
	return Math.min(freshMostS, Math.max(freshLeastS, 3 * (periodS ?? seenS)));
}

interface Rates {
	/** Greatest of the last two, towards the bound. */
	readonly rate: number;
	/** How far an easing movement will still go; null while its rate doesn't fall. */
	readonly travel: number | null;
	readonly periodS: number;
}

interface Step {
	readonly atS: number;
	readonly rate: number;
}

function ratesOf(samples: readonly Sample[], sense: 1 | -1): Rates {
	const steps = samples.slice(1).map(({ timeS, value }, at): Step => {
		const before = samples[at] as Sample;
		return { atS: (timeS + before.timeS) / 2, rate: (sense * (value - before.value)) / (timeS - before.timeS) };
	});
	const [first, before, last] = [steps.at(-3), steps.at(-2), steps.at(-1)];
	if (last === undefined) return { rate: 0, travel: null, periodS: 0 };
	const endS = (samples.at(-1) as Sample).timeS;
	const periodS = 2 * (endS - last.atS);
	const rate = Math.max(last.rate, before?.rate ?? last.rate);
	const fastest = Math.max(...steps.map((step) => step.rate));
	if (before === undefined || last.rate >= fallingShare * fastest) return { rate, travel: null, periodS };
	const fall = fallOf(first, before, last) ?? fastest / easeS;
	const now = Math.max(0, last.rate - fall * (endS - last.atS));
	return { rate, travel: now ** 2 / (2 * fall), periodS };
}

/** How fast the rate falls, once two falls in a row agree: the step in which it began tells too little. */
function fallOf(first: Step | undefined, before: Step, last: Step): number | null {
	if (first === undefined) return null;
	const earlier = (first.rate - before.rate) / (before.atS - first.atS);
	const latest = (before.rate - last.rate) / (last.atS - before.atS);
	return latest > 0 && Math.abs(earlier - latest) <= 0.1 * latest ? latest : null;
}

/** A straight crossing is near, and a movement that eases would still come close; or the next sample could be beyond. */
function warns(margin: number, bound: number, lookAheadS: number, { travel, periodS }: Rates): boolean {
	if (lookAheadS <= periodS) return true;
	if (travel === null) return lookAheadS <= warningS + Math.min(periodS, mostAddedS);
	return lookAheadS <= easeS && travel + (shortPct / 100) * Math.abs(bound) >= margin;
}
