import type { ChainChart, Chart, GridChart, Quantities } from './chart-model.js';
import { curveAt } from './curve.js';
import { gridValue } from './grid.js';

/** One sheet of a chart as it was understood: curves of `y` over `x`, told apart by `family`. */
export interface ChartSheet {
	readonly x: string;
	readonly y: string;
	/** `null` for a chart of one axis. */
	readonly family: string | null;
	/** Values of the axes that are the same over the sheet. */
	readonly fixed: Quantities;
	readonly lines: readonly {
		readonly family: number | null;
		readonly points: readonly (readonly [number, number])[];
	}[];
}

/** Points drawn in each interval between two printed ones. */
const pieces = 8;

/**
 * What a chart says, as curves to lay over the paper: read with the chart's own interpolation, through every printed
 * point. @rule PWR-16
 */
export function chartSheets(chart: Chart): readonly ChartSheet[] {
	return chart.kind === 'grid' ? gridSheets(chart) : chainSheets(chart);
}

function gridSheets(chart: GridChart): readonly ChartSheet[] {
	const x = chart.axes.at(-1);
	if (x === undefined) throw new RangeError('a grid has an axis');
	const family = chart.axes.at(-2);
	const combinations = chart.axes
		.slice(0, -2)
		.reduce<readonly Quantities[]>(
			(some, { id, values }) => some.flatMap((fixed) => values.map((value) => ({ ...fixed, [id]: value }))),
			[{}],
		);
	const line = (fixed: Quantities, value: number | null): ChartSheet['lines'][number] => ({
		family: value,
		points: between(x.values).map((at) => {
			const entered = {
				...fixed,
				...(family === undefined || value === null ? {} : { [family.id]: value }),
				[x.id]: at,
			};
			const read = gridValue(chart, entered);
			if (typeof read !== 'number') throw new RangeError('a printed point lies on its chart');
			return [at, read];
		}),
	});
	return combinations.map((fixed) => ({
		x: x.id,
		y: chart.result.id,
		family: family?.id ?? null,
		fixed,
		lines: (family?.values ?? [null]).map((value) => line(fixed, value)),
	}));
}

function chainSheets({ stages, interpolation = 'linear' }: ChainChart): readonly ChartSheet[] {
	return stages.map((stage) => ({
		x: stage.in,
		y: stage.out,
		family: stage.family,
		fixed: {},
		lines: stage.curves.map(({ family, points }) => {
			const [xs, ys] = [points.map(([at]) => at), points.map(([, value]) => value)];
			return { family, points: between(xs).map((at) => [at, curveAt(xs, ys, at, interpolation)] as const) };
		}),
	}));
}

function between(knots: readonly number[]): readonly number[] {
	return knots.flatMap((knot, at) => {
		const next = knots[at + 1];
		if (next === undefined) return [knot];
		return Array.from({ length: pieces }, (_, k) => knot + ((next - knot) * k) / pieces);
	});
}
