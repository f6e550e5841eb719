import { fail, ok, type Result } from '../result/index.js';
import { chainValue } from './chain.js';
import type { Chart, ChartProblem, Quantities } from './chart-model.js';
import { gridValue } from './grid.js';

/** What a chart must be entered with, in its own order. */
export function chartInputs(chart: Chart): readonly string[] {
	if (chart.kind === 'grid') return chart.axes.map(({ id }) => id);
	const outs = new Set(chart.stages.map(({ out }) => out));
	const entered = chart.stages.flatMap((stage) => [stage.in, stage.family]).filter((id) => !outs.has(id));
	return [...new Set(entered)];
}

/**
 * Value of a chart. A grid is interpolated along its last axis first, then outward; a chain is read stage by stage, along
 * its curves as the chart says and proportionally between two curves, as the eye does on paper.
 * @param chart well formed (`readChart` of the formats checks one that came from outside)
 * @param quantities at least those of `chartInputs`
 * @returns the value; or `outside-chart` with the axis and its range there, or `missing-condition`
 * @rule PWR-1
 * @rule PWR-2
 */
export function chartValue(chart: Chart, quantities: Quantities): Result<number, ChartProblem> {
	const missing = chartInputs(chart).find((id) => !Number.isFinite(quantities[id]));
	if (missing !== undefined) {
		return fail({ code: 'missing-condition', needed: missing, path: conditionPath(missing) });
	}
	const read = chart.kind === 'grid' ? gridValue(chart, quantities) : chainValue(chart, quantities);
	if (typeof read === 'number') return ok(read);
	const { found, ...needed } = read;
	return fail({ code: 'outside-chart', found, needed, path: conditionPath(needed.axis) });
}

function conditionPath(id: string): string {
	return `$.conditions['${id}']`;
}
