import type { ChainChart, ChartCurve, ChartStage, Quantities } from './chart-model.js';
import { curveAt, type Interpolation } from './curve.js';
import { type Beyond, beyondKnots } from './grid.js';

/** Value of a chain, stage by stage; every quantity must be there. */
export function chainValue({ stages, interpolation = 'linear' }: ChainChart, quantities: Quantities): number | Beyond {
	const known: Record<string, number> = { ...quantities };
	let value = Number.NaN;
	for (const stage of stages) {
		const read = stageValue(stage, known[stage.in] ?? Number.NaN, known[stage.family] ?? Number.NaN, interpolation);
		if (typeof read !== 'number') return read;
		known[stage.out] = read;
		value = read;
	}
	return value;
}

function stageValue(stage: ChartStage, x: number, family: number, interpolation: Interpolation): number | Beyond {
	const families = stage.curves.map((curve) => curve.family);
	const beyond = beyondKnots(stage.family, families, family);
	if (beyond !== undefined) return beyond;
	const upperAt = families.findIndex((value) => value >= family);
	const upper = stage.curves[upperAt];
	const lower = upper?.family === family ? upper : stage.curves[upperAt - 1];
	if (upper === undefined || lower === undefined) throw new RangeError('a stage has curves in ascending order');
	const outside = beyondBoth(stage.in, lower, upper, x);
	if (outside !== undefined) return outside;
	const low = along(lower, x, interpolation);
	if (upper === lower) return low;
	return low + ((along(upper, x, interpolation) - low) * (family - lower.family)) / (upper.family - lower.family);
}

/** Between two curves the chart can be read only where both are drawn. */
function beyondBoth(axis: string, lower: ChartCurve, upper: ChartCurve, x: number): Beyond | undefined {
	const starts = [lower, upper].map(({ points }) => points[0]?.[0] ?? Number.NaN);
	const ends = [lower, upper].map(({ points }) => points.at(-1)?.[0] ?? Number.NaN);
	return beyondKnots(axis, [Math.max(...starts), Math.min(...ends)], x);
}

function along({ points }: ChartCurve, x: number, interpolation: Interpolation): number {
	return curveAt(
		points.map(([at]) => at),
		points.map(([, value]) => value),
		x,
		interpolation,
	);
}
