import { type Chart, type ChartProblem, chartSlope, chartValue } from '../power/index.js';
import { fail, ok, type Problem, type Result } from '../result/index.js';

/** One steady autorotation with the collective fully down. */
export interface AutorotationRun {
	readonly rotorRpmPct: number;
	/** Mass at that moment: take-off mass less fuel burned. */
	readonly massKg: number;
	/** What the type's chart is entered with beside the mass: `densityAltitudeFt`, or `pressureAltitudeFt` and `oatC`. */
	readonly conditions: Readonly<Record<string, number>>;
}

export interface AutorotationRule {
	/** Target rotor speed in %, entered with `massKg` and the conditions. */
	readonly chart: Chart;
	/** Half width of the allowed band about the chart, % of it; ± 1 is usual. */
	readonly withinPct: number;
	/** Rotor speed shifted by one unit of the link, equally on all blades; the sign is the type's. */
	readonly rotorRpmPctPerUnit: number;
	/** Words of the type for more and fewer units. */
	readonly words: { readonly plus: string; readonly minus: string };
	readonly unit: string;
	/** Smallest change of the link. */
	readonly stepUnits: number;
	readonly blades: number;
	/** Power-off walls, %. */
	readonly maxRpmPct: number;
	readonly minRpmPct: number;
	/** How well the mass is known, % of it, one standard deviation. */
	readonly massSdPct: number;
	/** Scatter of one run's reading, %, one standard deviation. */
	readonly readingSdPct: number;
}

export interface AutorotationJudgement {
	/** Chart less reading of each run, %; positive is too slow. */
	readonly correctionsPct: readonly number[];
	readonly targetsPct: readonly number[];
	/** Mean of the corrections and its standard deviation, mass included. */
	readonly correctionPct: number;
	readonly correctionSdPct: number;
	readonly side: 'inside' | 'outside';
	/** What a mass 3 % wrong would do to the correction, %. */
	readonly massErrorEffectPct: number;
	/** Equal change for all blades; `null` inside the band or when there is no advice. */
	readonly change: { readonly units: number; readonly words: string; readonly expectedPct: number } | null;
	readonly noAdvice: 'too-few-runs' | 'runs-differ' | null;
	/** Walls that a run passed. */
	readonly walls: readonly { readonly run: number; readonly wall: 'max' | 'min'; readonly foundPct: number }[];
	/** To be measured again once a change is made. */
	readonly makesStale: readonly ['hover balance', 'track', 'collective stops'];
}

export type AutorotationProblem = ChartProblem | (Problem & { readonly code: 'no-runs' | 'not-a-number' });

const runsNeeded = 2;
const runsApartAtMostPct = 1;
const massErrorToldPct = 3;

/**
 * Rotor speed in autorotation against the type's chart. Each run is corrected at its own mass and air before anything is
 * averaged; the change is the same for every blade.
 * Problems: `no-runs`, `not-a-number`, and those of the chart with the run's place. @rule AUT-1
 * @rule AUT-2
 * @rule AUT-3
 */
export function judgeAutorotation(
	runs: readonly AutorotationRun[],
	rule: AutorotationRule,
): Result<AutorotationJudgement, AutorotationProblem> {
	if (runs.length === 0) return fail({ code: 'no-runs', found: 0, needed: runsNeeded });
	const targets: number[] = [];
	let slope = 0;
	for (const [at, { rotorRpmPct, massKg, conditions }] of runs.entries()) {
		if (!(rotorRpmPct > 0)) return fail({ code: 'not-a-number', found: rotorRpmPct, path: `$[${at}].rotorRpmPct` });
		const entered = { ...conditions, massKg };
		const target = chartValue(rule.chart, entered);
		if (!target.ok) {
			return fail({ ...target.problem, path: (target.problem.path ?? '$').replace('$', () => `$[${at}]`) });
		}
		targets.push(target.value);
		slope += ((chartSlope(rule.chart, entered, 'massKg') ?? 0) * massKg) / 100 / runs.length;
	}
	const corrections = targets.map((target, at) => target - (runs[at]?.rotorRpmPct ?? 0));
	const correctionPct = corrections.reduce((sum, one) => sum + one, 0) / runs.length;
	const apartPct = Math.max(...corrections) - Math.min(...corrections);
	const noAdvice = runs.length < runsNeeded ? 'too-few-runs' : apartPct > runsApartAtMostPct ? 'runs-differ' : null;
	const targetPct = targets.reduce((sum, one) => sum + one, 0) / runs.length;
	const inside = Math.abs(correctionPct) <= (rule.withinPct / 100) * targetPct;
	return ok({
		correctionsPct: corrections,
		targetsPct: targets,
		correctionPct,
		// The mass is one weighing for all runs: it does not average out.
		correctionSdPct: Math.hypot(rule.readingSdPct / Math.sqrt(runs.length), slope * rule.massSdPct),
		side: inside ? 'inside' : 'outside',
		massErrorEffectPct: slope * massErrorToldPct,
		change: noAdvice !== null || inside ? null : equalChange(correctionPct, rule),
		noAdvice,
		walls: wallsPassed(runs, rule),
		makesStale: ['hover balance', 'track', 'collective stops'],
	});
}

/** The same whole number of steps on every blade. @rule AUT-3 */
function equalChange(
	correctionPct: number,
	{ rotorRpmPctPerUnit, stepUnits, words, unit, blades }: AutorotationRule,
): AutorotationJudgement['change'] {
	const steps = Math.round(correctionPct / rotorRpmPctPerUnit / stepUnits);
	if (steps === 0) return null;
	const units = steps * stepUnits;
	const way = units > 0 ? words.plus : words.minus;
	return {
		units,
		words: `All ${blades} blades equally: ${way} ${Math.abs(units)} ${unit}`,
		expectedPct: units * rotorRpmPctPerUnit,
	};
}

function wallsPassed(
	runs: readonly AutorotationRun[],
	{ maxRpmPct, minRpmPct }: AutorotationRule,
): AutorotationJudgement['walls'] {
	return runs.flatMap(({ rotorRpmPct }, run): AutorotationJudgement['walls'] => {
		if (rotorRpmPct > maxRpmPct) return [{ run, wall: 'max', foundPct: rotorRpmPct }];
		return rotorRpmPct < minRpmPct ? [{ run, wall: 'min', foundPct: rotorRpmPct }] : [];
	});
}
