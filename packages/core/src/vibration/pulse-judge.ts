/** The span between two neighbouring marks, in samples from the start. */
export interface MarkSpan {
	readonly from: number;
	readonly to: number;
	/** How many marks further `to` is than `from`: 1, or more where pulses were missed. */
	readonly marks: number;
}

export interface JudgedPulses {
	readonly spans: readonly MarkSpan[];
	readonly missed: number;
	readonly double: number;
	/** How many of the pulses are dealt with; the next batch starts with the one before. */
	readonly taken: number;
}

/** A span counts as one mark when it is within a quarter of the usual one. */
const looseness = 0.25;

/**
 * Sorts a batch of pulse times into spans: what comes too early is a double pulse and is passed over, what is late by
 * whole spans means missed ones. The usual span is the batch's median, so that a few wrong pulses do not move it.
 * @param times ascending
 * @param usualBefore the usual span of the batch before, for a batch too short to have its own
 * @param last false while more pulses may come: the end of the batch is then left for the next
 */
export function judgePulses(
	times: readonly number[],
	usualBefore: number | undefined,
	last: boolean,
): JudgedPulses & { readonly usual: number } {
	const usual = times.length > 4 ? medianSpan(times) : (usualBefore ?? medianSpan(times));
	const spans: MarkSpan[] = [];
	let missed = 0;
	let double = 0;
	let at = 0;
	while (at < times.length - 1) {
		const from = times[at] as number;
		let best = at + 1;
		while (best < times.length && (times[best] as number) - from < (1 - looseness) * usual) best++;
		// more pulses may follow that lie nearer to the usual span
		if (best >= times.length) break;
		for (
			let next = best + 1;
			next < times.length && (times[next] as number) - from <= (1 + looseness) * usual;
			next++
		) {
			if (Math.abs((times[next] as number) - from - usual) < Math.abs((times[best] as number) - from - usual))
				best = next;
		}
		if (!last && best === times.length - 1) break;
		const span = (times[best] as number) - from;
		const marks = Math.max(1, Math.round(span / usual));
		spans.push({ from, to: times[best] as number, marks });
		double += best - at - 1;
		missed += marks - 1;
		at = best;
	}
	return { spans, missed, double, taken: at, usual };
}

function medianSpan(times: readonly number[]): number {
	const spans = times.slice(1).map((time, k) => time - (times[k] as number));
	return median(spans);
}

/** The middle value; of an even count the mean of the two middle ones. NaN of nothing. */
export function median(values: readonly number[]): number {
	const sorted = [...values].sort((a, b) => a - b);
	const half = sorted.length >> 1;
	if (sorted.length % 2 === 1) return sorted[half] as number;
	return ((sorted[half - 1] ?? Number.NaN) + (sorted[half] ?? Number.NaN)) / 2;
}
