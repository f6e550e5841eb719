import type { EntryOf } from '@stillmast/formats/entry';
import type { FoldRules } from './rules.js';
import type { Settler } from './settler.js';
import type { ReadingGroup, VibrationGroup } from './state.js';

/** Readings of one flight, run and subject. @rule REC-50 */
export function readReading(entries: readonly EntryOf<'reading'>[], rules: FoldRules, settler: Settler): ReadingGroup {
	const { flight, run, subject } = entries[0] as EntryOf<'reading'>;
	const settled = settler.evidence<'reading'>(entries, (a, b) => sameReading(a, b, rules));
	return { ...settled, flight, run, subject };
}

/** Vibration readings of one flight, run, rotor and channel. @rule REC-50 */
export function readVibration(
	entries: readonly EntryOf<'vibration'>[],
	rules: FoldRules,
	settler: Settler,
): VibrationGroup {
	const { flight, run, rotor, channel } = entries[0] as EntryOf<'vibration'>;
	const settled = settler.evidence<'vibration'>(entries, (a, b) => sameVibration(a, b, rules));
	// Of readings that say the same, one that says it with its phase says more.
	const holds =
		settled.state === 'one' ? (entries.find((one) => one.phaseDeg !== null) ?? settled.holds) : settled.holds;
	return { ...settled, holds, flight, run, rotor, channel };
}

function sameReading(a: EntryOf<'reading'>, b: EntryOf<'reading'>, rules: FoldRules): boolean {
	if (a.unit !== b.unit) return false;
	if (typeof a.value !== 'number' || typeof b.value !== 'number') return a.value === b.value;
	const stated = Math.max(a.resolution ?? 0, b.resolution ?? 0);
	const resolution = stated > 0 ? stated : (rules.resolutions[a.subject] ?? 0);
	return within(Math.abs(a.value - b.value), resolution);
}

function sameVibration(a: EntryOf<'vibration'>, b: EntryOf<'vibration'>, rules: FoldRules): boolean {
	const { resolutionIps, resolutionDeg, noiseIps } = rules.vibration;
	const finestIps = Math.max(a.resolutionIps ?? 0, b.resolutionIps ?? 0) || resolutionIps;
	if (!within(Math.abs(a.amplitudeIps - b.amplitudeIps), finestIps)) return false;
	// Below the noise a phase means nothing, and one that was not taken contradicts none.
	if (a.phaseDeg === null || b.phaseDeg === null) return true;
	const noise = Math.max(noiseIps, a.sdIps ?? 0, b.sdIps ?? 0);
	if (Math.max(a.amplitudeIps, b.amplitudeIps) <= noise) return true;
	const turn = Math.abs(a.phaseDeg - b.phaseDeg);
	return within(Math.min(turn, 360 - turn), Math.max(a.resolutionDeg ?? 0, b.resolutionDeg ?? 0) || resolutionDeg);
}

/** 0.32 − 0.31 is a little more than 0.01 in binary: one part in 10⁹ of the resolution is no difference. */
function within(difference: number, resolution: number): boolean {
	return difference <= resolution * (1 + 1e-9) + Number.EPSILON;
}
