import type { AttemptFault, Panel, RampTask } from '@stillmast/rehearsal';
import type { IdealRamp, RampAttempt, RampSample } from '$lib/parts/ramp/ramp-bed.view.js';
import type { LaneReading, Limit } from '$lib/parts/wall/lane.view.js';
import type { WallRow } from '$lib/parts/wall/wall.view.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { rehearsal } from '$lib/words/rehearsal.js';
import type { Flown } from './messages.js';

/** An attempt kept on the page, with its number. */
export interface KeptAttempt {
	readonly number: number;
	readonly flown: Flown;
	/** The device could not keep real time. */
	readonly isStalled: boolean;
}

/** The count-in in words; null when nothing is called. */
export function countWord(timeS: number): string | null {
	if (timeS >= 1) return null;
	if (timeS >= 0) return rehearsal.count.go;
	return timeS >= -1 ? rehearsal.count.one : timeS >= -2 ? rehearsal.count.two : rehearsal.count.three;
}

/** Gauges against the task's walls, as they stand now. */
export function gaugeRows(panel: Panel | null, { limits }: RampTask): readonly WallRow[] {
	return limitRows(limits, {
		torque: [rehearsal.torque, live(panel?.torquePct, atMost(limits.torquePct))],
		rotor: [rehearsal.rotor, live(panel?.nrPct, atLeast(limits.nrPct))],
		temperature: [rehearsal.temperature, live(panel?.totC, atMost(limits.totC))],
	});
}

/** The gauge that no limit of this task stands on. */
export function gasGeneratorWords(panel: Panel | null): string {
	const ngPct = panel?.ngPct ?? null;
	return fill(rehearsal.gasGenerator, {
		value: ngPct === null ? rehearsal.notYet : `${numberText(ngPct, { digits: 1 })} %`,
	});
}

/** Once-per-rev vibration, which no limit of this task stands on either. */
export function vibrationWords(panel: Panel | null): string {
	const ips = panel?.vibrationIps ?? null;
	return fill(rehearsal.vibration, {
		value: ips === null ? rehearsal.notYet : `${numberText(ips, { digits: 2 })} ips`,
	});
}

/** A finished attempt against its task: two bands of the lever and the three limits. */
export function verdictRows({ judgement, task }: Flown): readonly WallRow[] {
	const { limits, targetS, bandS, toPct, endBandPct } = task;
	const timeBand: Limit = { kind: 'band', low: targetS - bandS, high: targetS + bandS };
	const endBand: Limit = { kind: 'band', low: toPct - endBandPct, high: toPct + endBandPct };
	const notThere = fill(rehearsal.notThere, { to: String(toPct) });
	return [
		row('time', rehearsal.time, 's', 2, timeBand, found(judgement.times?.equivalentS, timeBand, notThere)),
		...limitRows(limits, {
			torque: [rehearsal.peakTorque, found(judgement.peakTorquePct, atMost(limits.torquePct))],
			rotor: [rehearsal.leastRotor, found(judgement.leastNrPct, atLeast(limits.nrPct))],
			temperature: [rehearsal.peakTemperature, found(judgement.peakTotC, atMost(limits.totC))],
		}),
		row('end', rehearsal.leverEnd, '%', 1, endBand, found(judgement.endLeverPct, endBand)),
	];
}

/** The verdict in one sentence. */
export function verdictSentence({ flown, isStalled }: KeptAttempt): string {
	const { judgement, task } = flown;
	if (isStalled) return fill(rehearsal.cannotTell, { reason: rehearsal.stalled });
	if (judgement.isInside) return rehearsal.insideAll;
	const { faults } = judgement;
	const lines = faults.map((fault) => faultLine[fault]).join(', ');
	if (faults.length === 1) return fill(rehearsal.outsideOne, { lines });
	if (faults.length > 1) return fill(rehearsal.outsideMany, { count: String(faults.length), lines });
	return fill(rehearsal.cannotTell, {
		reason: judgement.times === null ? fill(rehearsal.notThere, { to: String(task.toPct) }) : rehearsal.noSamples,
	});
}

/** Both times of the ramp, which differ for a hand's movement; null when it was not timed. */
export function twoTimes({ judgement }: Flown): string | null {
	const { times } = judgement;
	if (times === null) return null;
	return fill(rehearsal.twoTimes, {
		equivalent: numberText(times.equivalentS, { digits: 2 }),
		total: numberText(times.totalS, { digits: 2 }),
	});
}

const faultLine: Readonly<Record<AttemptFault, string>> = {
	'too-fast': rehearsal.time,
	'too-slow': rehearsal.time,
	torque: rehearsal.peakTorque,
	'rotor-speed': rehearsal.leastRotor,
	temperature: rehearsal.peakTemperature,
	'lever-end': rehearsal.leverEnd,
};

/** The ramp to fly, in torque. */
export function idealRamp({ task, fromTorquePct, toTorquePct }: Flown): IdealRamp {
	return { fromPct: fromTorquePct, toPct: toTorquePct, rampS: task.targetS, limitPct: task.limits.torquePct };
}

/** First, best and newest; an attempt that is several of them is drawn once, as the newest before the best. */
export function bedAttempts(all: readonly KeptAttempt[]): readonly RampAttempt[] {
	const first = all[0];
	const newest = all.at(-1);
	if (first === undefined || newest === undefined) return [];
	const best = all.reduce((held, one) => (isBetter(one, held) ? one : held), first);
	const roles = new Map<KeptAttempt, RampAttempt['role']>([
		[first, 'first'],
		[best, 'best'],
		[newest, 'newest'],
	]);
	return [...roles].map(([{ number, flown }, role]) => ({ id: String(number), role, samples: bedSamples(flown) }));
}

/** Fewest lines outside, then nearest to the time. One that the device flew late is never better. */
function isBetter(one: KeptAttempt, held: KeptAttempt): boolean {
	return farFromTask(one) < farFromTask(held);
}

/** A time is never this far off, so the count of lines decides first; a ramp that can't be timed is one line more. */
const farOffS = 100;

function farFromTask({ flown, isStalled }: KeptAttempt): number {
	const { times, faults } = flown.judgement;
	if (isStalled) return Number.POSITIVE_INFINITY;
	const offS = times === null ? farOffS : Math.min(farOffS, Math.abs(times.equivalentS - flown.task.targetS));
	return farOffS * faults.length + offS;
}

/** Every second sample is enough for the eye. */
const everySample = 2;
const drawnAfterS = 3;

function bedSamples({ trace, judgement, task }: Flown): readonly RampSample[] {
	const startS = judgement.times?.startS ?? 0;
	return trace.timeS.flatMap((timeS, at) => {
		const valuePct = trace.channels.torquePct[at] ?? null;
		const atS = timeS - startS;
		const isDrawn = at % everySample === 0 && atS >= 0 && atS <= task.targetS + drawnAfterS;
		return valuePct === null || !isDrawn ? [] : [{ atS, valuePct }];
	});
}

function limitRows(
	limits: RampTask['limits'],
	shown: Readonly<Record<'torque' | 'rotor' | 'temperature', readonly [string, LaneReading]>>,
): readonly WallRow[] {
	return [
		row('torque', shown.torque[0], '%', 1, atMost(limits.torquePct), shown.torque[1]),
		row('temperature', shown.temperature[0], '°C', 0, atMost(limits.totC), shown.temperature[1]),
		row('rotor', shown.rotor[0], '%', 1, atLeast(limits.nrPct), shown.rotor[1]),
	];
}

function row(id: string, label: string, unit: string, digits: number, limit: Limit, reading: LaneReading): WallRow {
	return { id, label, unit, digits, limit, goal: null, reading };
}

function atMost(limit: number): Limit {
	return { kind: 'at-most', limit };
}

/** Rotor speed's lane ends where power-on overspeed would be drawn. */
function atLeast(limit: number): Limit {
	return { kind: 'at-least', limit, laneTo: limit + 8 };
}

function live(value: number | null | undefined, limit: Limit): LaneReading {
	return value === null || value === undefined ? { state: 'missing' } : against(value, limit);
}

function found(value: number | null | undefined, limit: Limit, reason: string = rehearsal.noSamples): LaneReading {
	return value === null || value === undefined ? { state: 'cannot-judge', reason } : against(value, limit);
}

function against(value: number, limit: Limit): LaneReading {
	const isInside =
		limit.kind === 'band'
			? value >= limit.low && value <= limit.high
			: limit.kind === 'at-most'
				? value <= limit.limit
				: value >= limit.limit;
	return { state: isInside ? 'inside' : 'outside', value, low95: value, high95: value };
}
