import { chartInputs, chartValue } from './chart.js';
import type { Chart } from './chart-model.js';
import type { EnteredReading } from './reading.js';

/** Margin in % torque, or why there is none. */
export type TorqueMargin =
	| {
			readonly marginPct: number;
			/** `result`: the chart itself is in torque; `axis`: read back along the chart's torque axis. */
			readonly from: 'result' | 'axis';
	  }
	| { readonly marginPct: null; readonly reason: 'no-torque-in-chart' | 'beyond-torque-axis' };

const torqueId = 'torquePct';

/** Halvings of the torque axis: below any reading's resolution. */
const halvings = 60;

/**
 * How much more torque the engine gives than the limit line asks for at the value observed: the chart is read back along
 * its torque axis until it gives what was observed. Charts whose result is torque already say it.
 */
export function torqueMargin(chart: Chart, entered: EnteredReading, margin: number): TorqueMargin {
	if (chart.result.id.startsWith('torque') && chart.result.id.endsWith('Pct')) {
		return { marginPct: margin, from: 'result' };
	}
	const torquePct = entered.quantities[torqueId];
	if (torquePct === undefined || !chartInputs(chart).includes(torqueId)) {
		return { marginPct: null, reason: 'no-torque-in-chart' };
	}
	const lineTorquePct = torqueOnLine(chart, entered, torquePct);
	if (lineTorquePct === null) return { marginPct: null, reason: 'beyond-torque-axis' };
	return { marginPct: Math.sign(margin) * Math.abs(torquePct - lineTorquePct), from: 'axis' };
}

/** The torque at which the limit line passes through the observed value, nearest to the torque flown. */
function torqueOnLine(chart: Chart, { quantities, observed }: EnteredReading, torquePct: number): number | null {
	const above = (torque: number): number | null => {
		const read = chartValue(chart, { ...quantities, [torqueId]: torque });
		return read.ok ? read.value - observed : null;
	};
	const here = above(torquePct);
	if (here === null) return null;
	if (here === 0) return torquePct;
	const crossing = printedTorques(chart)
		.map((torque) => ({ torque, value: above(torque) }))
		.filter(({ value }) => value !== null && Math.sign(value) !== Math.sign(here))
		.sort((a, b) => Math.abs(a.torque - torquePct) - Math.abs(b.torque - torquePct))[0];
	if (crossing === undefined) return null;
	let [near, far] = [torquePct, crossing.torque];
	for (let k = 0; k < halvings; k++) {
		const middle = (near + far) / 2;
		const value = above(middle);
		if (value === null) return null;
		if (Math.sign(value) === Math.sign(here)) near = middle;
		else far = middle;
	}
	return far;
}

function printedTorques(chart: Chart): readonly number[] {
	if (chart.kind === 'grid') return chart.axes.find(({ id }) => id === torqueId)?.values ?? [];
	return chart.stages.flatMap((stage) => [
		...(stage.in === torqueId ? stage.curves.flatMap(({ points }) => points.map(([x]) => x)) : []),
		...(stage.family === torqueId ? stage.curves.map(({ family }) => family) : []),
	]);
}
