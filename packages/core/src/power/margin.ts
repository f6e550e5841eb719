import { fail, ok, type Problem, type Result } from '../result/index.js';
import { chartInputs, chartValue } from './chart.js';
import type { Chart, ChartProblem, Quantities } from './chart-model.js';
import { normalCdf } from './normal.js';
import { type EnteredReading, enterReading, type PowerReading, type ReadingProblem } from './reading.js';
import { chartSlope } from './slope.js';
import { type TorqueMargin, torqueMargin } from './torque-margin.js';

export type PowerVerdict = 'meets' | 'does-not-meet' | 'too-close';

/** What one quantity's scatter adds to the scatter of the margin. */
export interface ScatterShare {
	readonly quantity: string;
	readonly sd: number;
	/** Change of the margin per unit of the quantity. */
	readonly marginPerUnit: number;
	readonly marginSd: number;
	/** Of the margin's variance; 0 to 1, all together 1. */
	readonly share: number;
}

export interface Margin {
	/** Id of the chart's result. */
	readonly result: string;
	readonly unit: string | null;
	readonly limit: number;
	readonly observed: number;
	/** In the chart's unit; positive is good for both senses. */
	readonly margin: number;
	readonly marginSd: number;
	/** That the margin behind the reading is above zero. */
	readonly chancePositive: number;
	readonly verdict: PowerVerdict;
	/** What the number says, as the manual compares it. */
	readonly side: 'inside' | 'outside';
	readonly torque: TorqueMargin;
	/** Largest first. */
	readonly scatter: readonly ScatterShare[];
	/** The quantity with the largest share; `null` when nothing scatters. */
	readonly dominant: string | null;
	/** Better than the type calls believable; `null` when the type has no figure for it. */
	readonly tooGood: boolean | null;
	readonly sense: 'max' | 'min';
	readonly rule: 'at-most' | 'below';
	/** What the chart was entered with. */
	readonly entered: Quantities;
	readonly reference: string | null;
}

export type MarginProblem =
	| ChartProblem
	| ReadingProblem
	/** A quantity scatters, but the chart is drawn on one line only there and shows no slope. */
	| (Problem & { readonly code: 'no-slope'; readonly found: string });

/** A chance from which on a result counts as sure; as far from 0 as from 1. */
const sureChance = 0.95;

/** Two numbers this near to each other, relative to their size, are the same number but for rounding. */
const sameWithin = 1e-12;

/**
 * Margin of a reading to the limit that a chart gives for its conditions, with the scatter of every quantity carried
 * through, taken as independent and normal.
 * @param chartCount how many charts the reading is for
 * Problems: `MarginProblem`.
 * @rule PWR-4
 */
export function marginOf(chart: Chart, reading: PowerReading, chartCount = 1): Result<Margin, MarginProblem> {
	const entered = enterReading(chart, reading, chartCount);
	if (!entered.ok) return entered;
	const { quantities, observed } = entered.value;
	const limit = chartValue(chart, quantities);
	if (!limit.ok) return limit;
	const scatter = scatterShares(chart, entered.value);
	if (!scatter.ok) return scatter;
	const { sense, rule = 'at-most', unit, tooGoodMargin } = chart.result;
	const distance = sense === 'max' ? limit.value - observed : observed - limit.value;
	const size = Math.max(Math.abs(limit.value), Math.abs(observed));
	const margin = Math.abs(distance) <= sameWithin * size ? 0 : distance;
	const marginSd = Math.hypot(...scatter.value.map((share) => share.marginSd));
	const side = margin > 0 || (margin === 0 && rule === 'at-most') ? 'inside' : 'outside';
	const chancePositive = marginSd > 0 ? normalCdf(margin / marginSd) : side === 'inside' ? 1 : 0;
	return ok({
		result: chart.result.id,
		unit: unit ?? null,
		limit: limit.value,
		observed,
		margin,
		marginSd,
		chancePositive,
		verdict: verdictOf(side, chancePositive),
		side,
		torque: torqueMargin(chart, entered.value, margin),
		scatter: scatter.value,
		dominant: scatter.value[0]?.quantity ?? null,
		tooGood: tooGoodMargin === undefined ? null : margin > tooGoodMargin,
		sense,
		rule,
		entered: Object.fromEntries(chartInputs(chart).map((id) => [id, quantities[id] ?? Number.NaN])),
		reference: chart.reference ?? null,
	});
}

/** The number decides the side; near the limit neither side is sure enough to be a verdict. @rule PWR-5 */
function verdictOf(side: Margin['side'], chancePositive: number): PowerVerdict {
	if (side === 'inside' && chancePositive >= sureChance) return 'meets';
	if (side === 'outside' && chancePositive <= 1 - sureChance) return 'does-not-meet';
	return 'too-close';
}

function scatterShares(
	chart: Chart,
	{ quantities, sd, comparedId }: EnteredReading,
): Result<readonly ScatterShare[], MarginProblem> {
	const sign = chart.result.sense === 'max' ? 1 : -1;
	const shares: { quantity: string; sd: number; marginPerUnit: number; marginSd: number }[] = [];
	for (const [quantity, size] of Object.entries(sd)) {
		if (size === 0) continue;
		const slope = chartSlope(chart, quantities, quantity);
		if (slope === null) {
			return fail({ code: 'no-slope', found: quantity, needed: 'two curves around it', path: `$.sd['${quantity}']` });
		}
		const marginPerUnit = sign * (slope - (quantity === comparedId ? 1 : 0));
		if (marginPerUnit !== 0) {
			shares.push({ quantity, sd: size, marginPerUnit, marginSd: Math.abs(marginPerUnit) * size });
		}
	}
	const variance = shares.reduce((sum, share) => sum + share.marginSd ** 2, 0);
	return ok(
		shares
			.map((share) => ({ ...share, share: share.marginSd ** 2 / variance }))
			.sort((a, b) => b.marginSd - a.marginSd),
	);
}
