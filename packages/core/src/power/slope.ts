import { chartInputs, chartValue } from './chart.js';
import type { Chart, Quantities } from './chart-model.js';

/** Share of a chart's axis over which a slope is taken: far below a printed step, far above rounding. */
const stepShare = 1e-6;

/**
 * How much the chart's value grows per unit of one input. On a printed point the two sides differ and the steeper one is
 * taken, so that no uncertainty is called too small; at the edge of the chart there is one side only.
 * @returns `null` where the chart has no side at all (a single curve entered exactly on it); 0 for what is no input
 */
export function chartSlope(chart: Chart, quantities: Quantities, id: string): number | null {
	if (!chartInputs(chart).includes(id)) return 0;
	const x = quantities[id] ?? Number.NaN;
	const here = chartValue(chart, quantities);
	if (!here.ok) return null;
	const step = stepShare * Math.max(inputSpan(chart, id), Math.abs(x) * 1e-3);
	const sides = [step, -step].flatMap((by) => {
		const beside = chartValue(chart, { ...quantities, [id]: x + by });
		return beside.ok ? [(beside.value - here.value) / (x + by - x)] : [];
	});
	if (sides.length === 0) return null;
	return sides.reduce((steepest, side) => (Math.abs(side) > Math.abs(steepest) ? side : steepest));
}

/** How far an input's printed values reach. */
function inputSpan(chart: Chart, id: string): number {
	const values =
		chart.kind === 'grid'
			? chart.axes.filter((axis) => axis.id === id).flatMap((axis) => axis.values)
			: chart.stages.flatMap((stage) => [
					...(stage.in === id ? stage.curves.flatMap((curve) => curve.points.map(([x]) => x)) : []),
					...(stage.family === id ? stage.curves.map((curve) => curve.family) : []),
				]);
	return Math.max(...values) - Math.min(...values);
}
