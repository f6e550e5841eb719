import { describe, expect, it } from 'vitest';
import { forecastOf, learnRotor, predict, type Reading, type RotorProblem, type Run } from '../src/balance/index.js';
import { threeBlades } from './balance-examples.js';
import { normalDraws, uniformDraws } from './seeded.js';

const rotors = 150;
/** 450 posteriors on a busy machine. */
const patienceMs = 120_000;
const errorSd = 0.3;
const scatter = { sdIps: 0.02, sdRelative: 0.06, commonShare: 0.3 };

interface Drawn {
	readonly read: (settings: Readonly<Record<string, number>>) => Record<string, Reading>;
}

/** An invented rotor drawn as the model says: table errors split 80/15/5, hidden offsets, a remainder, scatter. */
function drawn(problem: RotorProblem, normal: () => number): Drawn {
	const pair = (sd: number): readonly [number, number] => [sd * normal(), sd * normal()];
	const times = ([a, b]: readonly [number, number], [c, d]: readonly [number, number]): readonly [number, number] => [
		a * c - b * d,
		a * d + b * c,
	];
	const common = new Map(['plate', 'tab', 'link'].map((kind) => [kind, pair(errorSd * Math.sqrt(0.8))]));
	const adjuster = new Map(problem.adjusters.map((a) => [a.id, pair(errorSd * Math.sqrt(0.05))]));
	const pulls = problem.channels.map((channel) => {
		const own = new Map(['plate', 'tab', 'link'].map((kind) => [kind, pair(errorSd * Math.sqrt(0.15))]));
		return problem.adjusters.map((a) => {
			const c = problem.coefficients.find((o) => o.channel === channel.id && o.kind === a.kind)!;
			const angle = ((c.phaseDeg + a.passAngleDeg) * Math.PI) / 180;
			const parts = [common.get(a.kind)!, own.get(a.kind)!, adjuster.get(a.id)!];
			const error = [1 + parts.reduce((s, p) => s + p[0], 0), parts.reduce((s, p) => s + p[1], 0)] as const;
			return times([c.amplitudeIpsPerUnit * Math.cos(angle), c.amplitudeIpsPerUnit * Math.sin(angle)], error);
		});
	});
	const offsets = problem.adjusters.map((a) => 0.25 * (a.max - a.min) * normal());
	const remainders = problem.channels.map(() => pair(0.015));
	return {
		read: (settings) => {
			const gust = pair(1);
			return Object.fromEntries(
				problem.channels.map((channel, k): [string, Reading] => {
					let [re, im] = remainders[k]!;
					for (const [j, a] of problem.adjusters.entries()) {
						const x = (settings[a.id] ?? 0) + offsets[j]!;
						re += x * pulls[k]![j]![0];
						im += x * pulls[k]![j]![1];
					}
					const sd = Math.hypot(scatter.sdIps, scatter.sdRelative * Math.hypot(re, im));
					const own = pair(Math.sqrt(1 - scatter.commonShare));
					const shared = Math.sqrt(scatter.commonShare);
					re += sd * (shared * gust[0] + own[0]);
					im += sd * (shared * gust[1] + own[1]);
					return [
						channel.id,
						{ amplitudeIps: Math.hypot(re, im), phaseDeg: (Math.atan2(im, re) * 180) / Math.PI, sdIps: 0 },
					];
				}),
			);
		},
	};
}

/** Counts of readings inside, above and below their 95 % interval: one channel of each rotor, so they are independent. */
function counted(changes: number): { inside: number; above: number; below: number } {
	const found = { inside: 0, above: 0, below: 0 };
	const problem: RotorProblem = { ...threeBlades, noise: scatter };
	const uniform = uniformDraws(17 + changes);
	for (let n = 0; n < rotors; n++) {
		const rotor = drawn(problem, normalDraws(1000 * changes + n));
		const someSettings = (): Record<string, number> =>
			Object.fromEntries(
				problem.adjusters.map((a) => [a.id, a.min < 0 ? Math.round(4 * uniform() - 2) : Math.round(5 * uniform())]),
			);
		const runs: Run[] = [{ id: 'r0', settings: {}, readings: rotor.read({}) }];
		for (let c = 1; c < changes; c++) {
			const settings = someSettings();
			runs.push({ id: `r${c}`, settings, readings: rotor.read(settings) });
		}
		const next = someSettings();
		const { readings } = predict(
			forecastOf(learnRotor({ ...problem, runs })),
			Float64Array.from(problem.adjusters, (a) => next[a.id]!),
			1,
			1,
		);
		const channel = problem.channels[n % problem.channels.length]!.id;
		const seen = rotor.read(next)[channel]!.amplitudeIps;
		const { low95Ips, high95Ips } = readings[channel]!;
		if (seen > high95Ips) found.above++;
		else if (seen < low95Ips) found.below++;
		else found.inside++;
	}
	return found;
}

describe('the 95 % interval of the next reading', () => {
	it.each([1, 2, 3])(
		'[BAL-4] over 150 simulated rotors, change %d: 95 in 100 inside, within binomial bounds',
		(changes) => {
			const { inside, above, below } = counted(changes);
			// binomial, n = 150, p = 0.95: sd 2.67, so three of them; each tail p = 0.025: mean 3.75, sd 1.9
			expect(Math.abs(inside - 0.95 * rotors)).toBeLessThanOrEqual(8);
			expect(above).toBeLessThanOrEqual(10);
			expect(below).toBeLessThanOrEqual(10);
		},
		patienceMs,
	);
});
