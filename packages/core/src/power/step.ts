import { fail, ok, type Result } from '../result/index.js';
import { median, theilSen } from './theil-sen.js';
import type { TrendPoint, TrendProblem } from './trend.js';

export interface MaintenanceStep {
	/** Margin gained by the work: median of all differences after less before, drift taken out. */
	readonly gain: number;
	readonly low95: number;
	readonly high95: number;
	/** Whether the interval leaves zero out. */
	readonly proved: boolean;
}

/** Rank interval needs this many on each side. */
const pointsEachSide = 4;

/**
 * What work on the engine changed: shift between the points before and after it (Hodges–Lehmann, with the interval of
 * the rank-sum test), after the drift of the points before is taken out where it is proved.
 * Problems: `too-few-points` with fewer than 4 on a side. @rule PWR-12
 */
export function maintenanceStep(points: readonly TrendPoint[], workH: number): Result<MaintenanceStep, TrendProblem> {
	const before = points.filter(({ engineH }) => engineH <= workH);
	const after = points.filter(({ engineH }) => engineH > workH);
	const least = Math.min(before.length, after.length);
	if (least < pointsEachSide) return fail({ code: 'too-few-points', found: least, needed: pointsEachSide });
	const drift = theilSen(
		before.map(({ engineH }) => engineH),
		before.map(({ margin }) => margin),
	);
	const slope = drift.low95 > 0 || drift.high95 < 0 ? drift.slope : 0;
	const level = ({ engineH, margin }: TrendPoint): number => margin - slope * (engineH - workH);
	const shifts = after.flatMap((late) => before.map((early) => level(late) - level(early))).sort((a, b) => a - b);
	const [m, n] = [before.length, after.length];
	const cut = Math.max(0, Math.floor((m * n) / 2 - 1.96 * Math.sqrt((m * n * (m + n + 1)) / 12)));
	const [low95, high95] = [shifts[cut] ?? 0, shifts[shifts.length - 1 - cut] ?? 0];
	return ok({ gain: median(shifts), low95, high95, proved: low95 > 0 || high95 < 0 });
}
