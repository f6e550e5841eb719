import { describe, expect, it } from 'vitest';
import { solveRotor } from '../src/balance/index.js';
import { type BleedBracket, judgeBleed } from '../src/bleed/index.js';
import { adjudicate, type Evidence, type Line, LiveLimits } from '../src/exceedance/index.js';
import { riceCdf } from '../src/phasor/index.js';
import { judgeTime, timeMovement } from '../src/transition/index.js';
import { contractExample } from './balance-examples.js';
import { okValue, vectorRow } from './published-vectors.js';

/** Figures that crews work with, all of them common practice: none is a limit of any aircraft. */
const fact = <I, E>(id: string) => vectorRow<I, E>('trade/facts.json', id);

describe('facts of the trade', () => {
	const smooth = fact<
		{ reading_ips: number; limit_ips: number; sd_ips: number },
		{ within_limit: boolean; ratio_to_limit: number; chance_beyond_at_most: number }
	>('smooth-reading-against-limit');
	it(smooth.says('inside, and surely so at that scatter'), () => {
		const { reading_ips, limit_ips, sd_ips } = smooth.inputs;
		const channels = contractExample.channels.map((channel) => ({ ...channel, limitIps: limit_ips }));
		const readings = { 'hover/lat': { amplitudeIps: reading_ips, phaseDeg: 118 } };
		const runs = (contractExample.runs ?? []).map((run) => ({ ...run, readings }));
		const { state } = okValue(solveRotor({ ...contractExample, channels, runs }));
		expect(state.withinLimit).toBe(smooth.expected.within_limit);
		expect(state.worstRatioToLimit).toBeCloseTo(smooth.expected.ratio_to_limit, 12);
		const beyond = 1 - riceCdf(limit_ips, reading_ips, sd_ips);
		expect(beyond).toBeLessThanOrEqual(smooth.expected.chance_beyond_at_most);
	});

	const live = fact<
		{ line_percent: number; at_least_kt: number; torque_percent: number; speeds_kt: number[] },
		{ shown: boolean[]; margin_percent: number }
	>('torque-line-live');
	it(live.says('[EXC-14] shown with its margin above that speed, and not below'), () => {
		const { line_percent, at_least_kt, torque_percent, speeds_kt } = live.inputs;
		const line: Line = {
			id: 'by-speed',
			above: line_percent,
			maxSeconds: 0,
			when: { iasKt: { atLeast: at_least_kt } },
			reference: 'invented',
		};
		const shown = speeds_kt.map((speed) => {
			const limits = new LiveLimits({ parameters: [{ id: 'torquePct', lines: [line] }] });
			limits.push('torquePct', 1, torque_percent);
			limits.push('iasKt', 1, speed);
			return limits.at(1)[0]?.lines ?? [];
		});
		expect(shown.map((lines) => lines.length > 0)).toEqual(live.expected.shown);
		expect(shown.at(-1)?.[0]?.margin).toBeCloseTo(live.expected.margin_percent, 9);
	});

	interface Said {
		readonly highest_sure: number;
		readonly highest_possible: number;
		readonly at_least_s: number;
		readonly at_most_s: number;
	}
	const brief = fact<
		{ line_percent: number; allowed_s: number; pilot: Said; engineer: Said },
		{ least_peak: number; most_peak: null; least_s: number; most_s: null; verdict_never: string; verdict_timed: string }
	>('brief-excursion-asked-alone');
	it(brief.says('[EXC-11] the surest least of both holds, and nobody’s most'), () => {
		const { line_percent, allowed_s, pilot, engineer } = brief.inputs;
		const seen = (id: string, said: Said): Evidence => ({
			kind: 'witness',
			id,
			highestSure: said.highest_sure,
			highestPossible: said.highest_possible,
			atLeastS: said.at_least_s,
			atMostS: said.at_most_s,
			askedAlone: true,
		});
		const both = [seen('pilot', pilot), seen('engineer', engineer)];
		const never: Line = { id: 'never', above: line_percent, maxSeconds: 0, reference: 'invented' };
		const found = okValue(adjudicate(never, both));
		expect(found.peak).toEqual([brief.expected.least_peak, brief.expected.most_peak]);
		expect(found.durationS).toEqual([brief.expected.least_s, brief.expected.most_s]);
		expect(found.verdict).toBe(brief.expected.verdict_never);
		const timed = okValue(adjudicate({ ...never, id: 'timed', maxSeconds: allowed_s }, both));
		expect(timed.verdict).toBe(brief.expected.verdict_timed);
		// Neither order nor company changes what each one said.
		expect(okValue(adjudicate(never, [...both].reverse()))).toMatchObject({ peak: found.peak });
	});

	const ruleOf = ([least, most]: readonly [number, number]) => ({
		riseC: { least, most },
		cPerTorquePct: 2.4,
		heldAtLeastS: 30,
		torqueWithinPct: 0.5,
		staysUpC: 4,
	});
	const bracket = (beforeC: number, onC: number, afterC: number): BleedBracket => {
		const part = (timeS: number, temperatureC: number) => ({
			timeS,
			heldS: 30,
			temperatureC,
			torquePct: 70,
			temperatureSdC: 0.5,
		});
		return { offBefore: part(0, beforeC), on: part(60, onC), offAfter: part(120, afterC) };
	};
	const consumers = fact<
		{ base_C: number; rises_C: number[]; band_C: [number, number]; others_C: Readonly<Record<string, number>> },
		{ verdict: string }
	>('consumers-raise-temperature');
	it(consumers.says('[BLD-2] works from end to end of the band, and what lies outside has its own name'), () => {
		const { base_C, rises_C, band_C, others_C } = consumers.inputs;
		const judged = (riseC: number) => okValue(judgeBleed(bracket(base_C, base_C + riseC, base_C), ruleOf(band_C)));
		for (const riseC of rises_C) {
			expect(judged(riseC).verdict).toBe(consumers.expected.verdict);
			expect(judged(riseC).riseC).toBeCloseTo(riseC, 9);
		}
		for (const [verdict, riseC] of Object.entries(others_C)) expect(judged(riseC).verdict).toBe(verdict);
	});

	const stuck = fact<{ base_C: number; on_C: number; off_C: number; band_C: [number, number] }, { verdict: string }>(
		'consumer-stays-up',
	);
	it(stuck.says('[BLD-2] is told as such, not as a smaller rise'), () => {
		const { base_C, on_C, off_C, band_C } = stuck.inputs;
		const judged = okValue(judgeBleed(bracket(base_C, on_C, off_C), ruleOf(band_C)));
		expect(judged.verdict).toBe(stuck.expected.verdict);
	});

	const ramps = fact<
		{ ramps_s: number[]; from_percent: number; to_percent: number; rates_hz: number[] },
		{ steepest_percent_per_s: number[] }
	>('ramps-of-two-and-three-seconds');
	it(ramps.says('[TRN-1] [TRN-5] each inside its own aim and outside the other’s'), () => {
		const { ramps_s, from_percent, to_percent, rates_hz } = ramps.inputs;
		for (const [at, rampS] of ramps_s.entries()) {
			for (const hz of rates_hz) {
				const samples = Array.from({ length: (rampS + 2) * hz + 1 }, (_, k) => {
					const share = Math.min(1, Math.max(0, (k / hz - 1) / rampS));
					return { timeS: k / hz, value: from_percent + (to_percent - from_percent) * share };
				});
				const movement = okValue(timeMovement(samples));
				expect(movement.equivalentLinear.valueS).toBeCloseTo(rampS, 2);
				expect(movement.steepestPerSecond).toBeCloseTo(ramps.expected.steepest_percent_per_s[at] ?? 0, 6);
				const target = (aimS: number) => ({
					time: 'equivalent-linear' as const,
					signal: 'leverPct',
					atLeastS: aimS - 0.4,
					atMostS: aimS + 0.4,
					reference: 'invented',
				});
				const others = ramps_s.filter((one) => one !== rampS);
				expect(judgeTime(movement.equivalentLinear, target(rampS))).toBe('inside');
				for (const otherS of others) expect(judgeTime(movement.equivalentLinear, target(otherS))).toBe('outside');
			}
		}
	});
});
