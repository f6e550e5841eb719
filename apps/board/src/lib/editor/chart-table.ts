import { type ChartSheet, chartSheets } from '@stillmast/core/power';
import { readChart } from '@stillmast/formats/chart';
import type { Axis } from '$lib/parts/plot/axis.js';
import { tidyStep } from '$lib/parts/plot/axis.js';
import type { PowerChartData } from '$lib/parts/power/power-chart.view.js';
import { exactText, readNumber } from '$lib/words/number.js';
import { quantityWords } from './quantities.js';
import { idFrom, listAt, type Tree, textAt, valueAt, withValue } from './tree.js';

/** A chart as a table: the last axis runs along the bottom, the one before tells the curves apart. */

export function newChart(name: string, taken: readonly string[]): Tree {
	return {
		format: 'stillmast/chart@1',
		kind: 'grid',
		result: { id: idFrom(name, taken), sense: 'max' },
		axes: [{ id: 'oatC', values: [] }],
		values: [],
		interpolation: 'linear',
	};
}

/** Charts that this page can edit; others came in by import and are shown. */
export function isTable(chart: Tree): boolean {
	const count = listAt(chart, ['axes']).length;
	return valueAt(chart, ['kind']) === 'grid' && (count === 1 || count === 2);
}

/** A second axis for the curves, or back to one curve. What was typed of the first curve stays. */
export function withFamilies(chart: Tree, hasFamilies: boolean): Tree {
	const axes = listAt(chart, ['axes']);
	if (hasFamilies === (axes.length === 2)) return chart;
	const values = listAt(chart, ['values']);
	if (!hasFamilies) return withValue(withValue(chart, ['axes'], axes.slice(1)), ['values'], listAt(values, [0]));
	const family = { id: 'pressureAltitudeFt', values: [0] };
	return withValue(withValue(chart, ['axes'], [family, ...axes]), ['values'], [values]);
}

/** Values of one axis as typed; the table keeps its cells and grows or shrinks with it. */
export function withAxisValues(chart: Tree, axis: number, text: string): Tree {
	const words = text.split(/[\s;]+/).filter((word) => word !== '');
	const values = words.map((word) => readNumber(word) ?? word);
	return sized(withValue(chart, ['axes', axis, 'values'], values));
}

export function axisText(chart: Tree, axis: number): string {
	return listAt(chart, ['axes', axis, 'values'])
		.map((value) => (typeof value === 'number' ? exactText(value) : String(value)))
		.join(' ');
}

function sized(chart: Tree): Tree {
	const axes = listAt(chart, ['axes']);
	const lengths = axes.map((axis) => listAt(axis, ['values']).length);
	return withValue(chart, ['values'], cells(valueAt(chart, ['values']), lengths));
}

function cells(old: unknown, lengths: readonly number[]): unknown {
	const [length, ...inner] = lengths;
	if (length === undefined) return typeof old === 'number' || typeof old === 'string' ? old : undefined;
	return Array.from({ length }, (_, at) => cells(Array.isArray(old) ? old[at] : undefined, inner));
}

/** The chart drawn again from its numbers, sheet by sheet; empty while the table is not whole. */
export function chartPreview(chart: Tree): readonly PowerChartData[] {
	const read = readChart(chart);
	return read.ok ? chartSheets(read.value).map((sheet) => previewOf(sheet, textAt(chart, ['result', 'unit']))) : [];
}

function previewOf(sheet: ChartSheet, unit: string): PowerChartData {
	const all = sheet.lines.flatMap(({ points }) => points);
	return {
		x: axisOver(
			...quantityWords(sheet.x),
			all.map(([x]) => x),
		),
		y: axisOver(
			sheet.y.replaceAll('-', ' '),
			unit,
			all.map(([, y]) => y),
		),
		family: sheet.lines.map(({ family, points }) => ({
			label: family === null ? '' : exactText(family),
			points: points.map(([x, y]) => ({ x, y })),
		})),
		limit: { points: [], forbidden: 'above' },
		trace: [],
		reading: null,
	};
}

function axisOver(label: string, unit: string, values: readonly number[]): Axis {
	const [least, most] = [Math.min(...values), Math.max(...values)];
	const step = tidyStep(most - least || Math.abs(most) || 1, 6);
	const low = Math.floor(least / step - 1e-9) * step;
	const high = Math.max(Math.ceil(most / step + 1e-9) * step, low + step);
	return { label, unit, low, high, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
}
