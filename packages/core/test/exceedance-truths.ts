import { uniformDraws } from './seeded.js';

/**
 * Continuous truths to hold the evaluator against, invented and seeded. Polylines, so that every crossing is exact;
 * nothing here is imported from the evaluator.
 */
export type Polyline = readonly (readonly [number, number])[];
export type Span = readonly [number, number];

export interface Truth {
	readonly torque: Polyline;
	readonly speed: Polyline;
	/** When the flight phase begins to be `level` and when it begins not to be, in turns; `level` first. */
	readonly turnsS: readonly number[];
	readonly endS: number;
	readonly kind: string;
}

export function valueAt(line: Polyline, atS: number): number {
	let low = 0;
	let high = line.length - 1;
	while (high - low > 1) {
		const middle = (low + high) >> 1;
		if ((line[middle] as Span)[0] <= atS) low = middle;
		else high = middle;
	}
	const [[t0, v0], [t1, v1]] = [line[low] as Span, line[high] as Span];
	return v0 + ((v1 - v0) * (atS - t0)) / (t1 - t0);
}

/** Times in which `value · sense` is above `bound · sense`. */
export function spansBeyond(line: Polyline, bound: number, sense: 1 | -1): readonly Span[] {
	const spans: [number, number][] = [];
	line.slice(1).forEach(([t1, v1], at) => {
		const [t0, v0] = line[at] as Span;
		const [a, b] = [sense * (v0 - bound), sense * (v1 - bound)];
		if (a <= 0 && b <= 0) return;
		const crossS = a === b ? t0 : t0 + (a / (a - b)) * (t1 - t0);
		const from = a > 0 ? t0 : crossS;
		const to = b > 0 ? t1 : crossS;
		const last = spans.at(-1);
		if (last !== undefined && from - last[1] < 1e-12) last[1] = to;
		else spans.push([from, to]);
	});
	return spans;
}

export function bothHold(first: readonly Span[], second: readonly Span[]): readonly Span[] {
	return first.flatMap(([a0, a1]) =>
		second.flatMap(([b0, b1]): Span[] => {
			const [from, to] = [Math.max(a0, b0), Math.min(a1, b1)];
			return to > from ? [[from, to]] : [];
		}),
	);
}

/** No span and no time between two is shorter than `shortestS`; those at the ends of the truth are cut and may be. */
export function obeys(spans: readonly Span[], shortestS: number, endS: number): boolean {
	return spans.every(([from, to], at) => {
		const next = spans[at + 1];
		const cut = from <= 0 || to >= endS;
		return (cut || to - from >= shortestS) && (next === undefined || next[0] - to >= shortestS);
	});
}

export function peakIn(line: Polyline, [from, to]: Span, sense: 1 | -1): number {
	const inside = line.filter(([t]) => t > from && t < to).map(([, v]) => v);
	const all = [valueAt(line, from), valueAt(line, to), ...inside];
	return sense === 1 ? Math.max(...all) : Math.min(...all);
}

const kinds = ['ramps', 'bumps', 'governor', 'dips'] as const;

/** Torque around 100 % and airspeed around 40 kt over 30 s; steepest rate of torque 40 %/s, of airspeed 10 kt/s. */
export function truth(seed: number): Truth {
	const draw = uniformDraws(seed);
	const kind = kinds[Math.floor(draw() * kinds.length)] as string;
	const endS = 30;
	const walk = (middle: number, spread: number, slew: number, pauseS: number): Polyline => {
		const points: [number, number][] = [[0, middle + spread * (2 * draw() - 1)]];
		while ((points.at(-1) as Span)[0] < endS) {
			const [t, v] = points.at(-1) as Span;
			const to = middle + spread * (2 * draw() - 1);
			const lasts = Math.max(Math.abs(to - v) / (slew * (0.15 + 0.85 * draw())), 0.05) + 1e-6;
			points.push([t + lasts, to]);
			if (draw() < 0.5) points.push([t + lasts + pauseS * draw() + 0.01, to]);
		}
		return points;
	};
	const torque =
		kind === 'governor'
			? Array.from(
					{ length: 301 },
					(_, k): Span => [k / 10, 100 + 3 * Math.sin((k / 10) * 2) + 2 * Math.sin(k / 47 + seed)],
				)
			: walk(100, kind === 'dips' ? 5 : 12, 40, kind === 'bumps' ? 4 : 2);
	const turnsS = [0];
	while ((turnsS.at(-1) as number) < endS) turnsS.push((turnsS.at(-1) as number) + 1 + 14 * draw());
	return { torque, speed: walk(40, 25, 10, 5), turnsS, endS, kind };
}

export function isLevelAt({ turnsS }: Truth, atS: number): boolean {
	return turnsS.findLastIndex((turnS) => turnS <= atS) % 2 === 0;
}

export function levelSpans({ turnsS, endS }: Truth): readonly Span[] {
	return turnsS.flatMap((fromS, at): Span[] => (at % 2 === 0 ? [[fromS, turnsS[at + 1] ?? endS]] : []));
}

/** A state that turns twice between two samples breaks what is said of states: that they hold between equal samples. */
export function stateIsSeen({ turnsS }: Truth, timesS: readonly number[]): boolean {
	return timesS.every((atS, at) => {
		const beforeS = timesS[at - 1] ?? atS;
		return turnsS.filter((turnS) => turnS > beforeS && turnS <= atS).length < 2;
	});
}

/** Torque above a bound that is read from a table over the airspeed, as a polyline that is above 0 beyond it. */
export function aboveTable({ torque, speed }: Truth, points: readonly Span[]): Polyline {
	const crossings = speed.slice(1).flatMap(([t1, v1], at) => {
		const [t0, v0] = speed[at] as Span;
		return points.flatMap(([x]) => ((v0 - x) * (v1 - x) < 0 ? [t0 + ((t1 - t0) * (x - v0)) / (v1 - v0)] : []));
	});
	const lastS = Math.min((torque.at(-1) as Span)[0], (speed.at(-1) as Span)[0]);
	const times = [...torque.map(([t]) => t), ...speed.map(([t]) => t), ...crossings].filter((t) => t <= lastS);
	return [...new Set(times)]
		.sort((a, b) => a - b)
		.map((t): Span => [t, valueAt(torque, t) - valueAt(points, valueAt(speed, t))]);
}

export interface Sampling {
	readonly timesS: readonly number[];
	readonly spacingS: number;
	readonly hasGap: boolean;
}

/** 1 to 50 Hz with jitter; one in four with a gap of up to 6 s. */
export function sampling(seed: number, endS: number): Sampling {
	const draw = uniformDraws(seed ^ 0x5bd1e995);
	const rateHz = [1, 2, 4, 5, 10, 20, 50][Math.floor(draw() * 7)] as number;
	const jitter = draw() < 0.5 ? 0 : 0.3;
	const gapAtS = draw() < 0.25 ? endS * (0.2 + 0.5 * draw()) : Number.POSITIVE_INFINITY;
	const gapS = 1 + 5 * draw();
	const offsetS = draw() / rateHz;
	const timesS: number[] = [];
	for (let k = 0; ; k++) {
		const atS = offsetS + (k + jitter * (draw() - 0.5)) / rateHz;
		if (atS > endS) break;
		if (atS >= 0 && !(atS > gapAtS && atS < gapAtS + gapS)) timesS.push(atS);
	}
	return {
		timesS,
		spacingS: Math.max(...timesS.slice(1).map((t, k) => t - (timesS[k] as number))),
		hasGap: Number.isFinite(gapAtS),
	};
}
