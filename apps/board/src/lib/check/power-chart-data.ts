import { type Chart, chartInputs, chartValue, type Margin } from '@stillmast/core/power';
import type { HoldData } from '@stillmast/formats/type-data';
import { type Axis, tidyStep } from '$lib/parts/plot/axis.js';
import type { ChartPoint, PowerChartData } from '$lib/parts/power/power-chart.view.js';
import { numberText } from '$lib/words/number.js';
import { digitsOf } from './ask.js';

/** Points along a curve between the ends of its axis. */
const pieces = 24;
/** Half of the range that holds a value 95 times in 100. */
const z975 = 1.96;

/**
 * A chart as the sheet through the reading's own conditions: along its last axis, with the printed curves of the axis
 * before, and the limit for this reading. Every value is the chart's own.
 */
export function chartData(chart: Chart, margin: Margin, { parameters }: HoldData): PowerChartData {
	const inputs = chartInputs(chart);
	const xId = inputs.at(-1) ?? '';
	const familyId = inputs.at(-2);
	const xs = printed(chart, xId);
	const [low, high] = [xs[0] ?? 0, xs.at(-1) ?? 1];
	const about = (id: string) => parameters.find((one) => one.id === id);
	const valueAt = (change: Readonly<Record<string, number>>) => {
		const read = chartValue(chart, { ...margin.entered, ...change });
		return read.ok ? read.value : null;
	};
	const curve = (change: Readonly<Record<string, number>>): ChartPoint[] =>
		Array.from({ length: pieces + 1 }, (_, at) => low + ((high - low) * at) / pieces).flatMap((x) => {
			const y = valueAt({ ...change, [xId]: x });
			return y === null ? [] : [{ x, y }];
		});
	const limit = curve({});
	const family =
		familyId === undefined
			? []
			: printed(chart, familyId).map((value) => ({
					label: `${numberText(value, { digits: 0 })} ${about(familyId)?.unit ?? ''}`,
					points: curve({ [familyId]: value }),
				}));
	const half = z975 * margin.marginSd;
	const x = margin.entered[xId] ?? low;
	const ys = [
		...[limit, ...family.map(({ points }) => points)].flat().map(({ y }) => y),
		margin.observed - half,
		margin.observed + half,
	];
	const y = axisAround(
		ys,
		margin.unit ?? about(margin.result)?.unit ?? '',
		about(margin.result)?.name ?? margin.result,
	);
	const acrossAt = about(xId);
	return {
		x: {
			label: acrossAt?.name ?? xId,
			unit: acrossAt?.unit ?? '',
			low,
			high,
			digits: Math.min(1, digitsOf(tidyStep(high - low, 8))),
			isSigned: low < 0,
		},
		y,
		family,
		limit: { points: limit, forbidden: margin.sense === 'max' ? 'above' : 'below' },
		trace: [
			{ x, y: y.low },
			{ x, y: margin.limit },
			{ x: low, y: margin.limit },
		],
		reading: { point: { x, y: margin.observed }, low95: margin.observed - half, high95: margin.observed + half },
	};
}

/** Values at which the paper has lines. */
function printed(chart: Chart, id: string): readonly number[] {
	if (chart.kind === 'grid') return chart.axes.find((axis) => axis.id === id)?.values ?? [];
	const along = chart.stages.find((stage) => stage.in === id);
	if (along !== undefined) {
		return [...new Set(along.curves.flatMap(({ points }) => points.map(([x]) => x)))].sort((a, b) => a - b);
	}
	return chart.stages.find((stage) => stage.family === id)?.curves.map(({ family }) => family) ?? [];
}

function axisAround(values: readonly number[], unit: string, label: string): Axis {
	const [least, most] = [Math.min(...values), Math.max(...values)];
	const step = tidyStep(Math.max(most - least, 1e-6), 7);
	return {
		label,
		unit,
		low: Math.floor(least / step) * step,
		high: Math.ceil(most / step) * step,
		digits: digitsOf(step),
	};
}
