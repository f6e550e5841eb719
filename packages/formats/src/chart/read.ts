import { fail, ok, type Result } from '@stillmast/core/result';
import type * as v from 'valibot';
import { childPath, type DocumentFault, readAs } from '../problem/index.js';
import { chartSchema, powerReadingSchema } from './schema.js';

export { chartSchema, powerReadingSchema } from './schema.js';

/** Numbers in lists within lists, one level for each axis of a grid. */
export type NestedNumbers = readonly number[] | readonly NestedNumbers[];

type Grid = Extract<v.InferOutput<typeof chartSchema>, { readonly kind: 'grid' }>;
type Chain = Extract<v.InferOutput<typeof chartSchema>, { readonly kind: 'chain' }>;
export type ChartDocument = (Omit<Grid, 'values'> & { readonly values: NestedNumbers }) | Chain;
export type PowerReading = v.InferOutput<typeof powerReadingSchema>;

/**
 * Reads a parsed `stillmast/chart@1` document.
 * @returns the chart; or the first fault: of its shape, an axis or curve that does not rise, a grid whose lists do not
 * match its axes, a stage that is fed by nothing before it
 */
export function readChart(value: unknown): Result<ChartDocument, DocumentFault> {
	const read = readAs(chartSchema, value);
	if (!read.ok) return read;
	const chart = read.value;
	const fault = chart.kind === 'grid' ? gridFault(chart) : chainFault(chart);
	// The lists were just walked: every innermost value is a number.
	return fault === undefined ? ok(chart as ChartDocument) : fail(fault);
}

/** Reads a parsed `stillmast/power-reading@1` document. */
export function readPowerReading(value: unknown): Result<PowerReading, DocumentFault> {
	return readAs(powerReadingSchema, value);
}

function gridFault({ axes, values }: Grid): DocumentFault | undefined {
	for (const [at, axis] of axes.entries()) {
		const fault = riseFault(axis.values, childPath('$', 'axes', at, 'values'));
		if (fault !== undefined) return fault;
	}
	return listFault(
		values,
		axes.map((axis) => axis.values.length),
		'$.values',
	);
}

function listFault(value: unknown, lengths: readonly number[], path: string): DocumentFault | undefined {
	const [length, ...inner] = lengths;
	if (length === undefined) {
		if (typeof value === 'number' && Number.isFinite(value)) return undefined;
		return { code: 'wrong-type', path, found: JSON.stringify(value) ?? 'nothing', needed: 'a finite number' };
	}
	if (!Array.isArray(value) || value.length !== length) {
		const found = Array.isArray(value) ? `a list of ${value.length}` : typeof value;
		return { code: 'not-allowed', path, found, needed: `a list of ${length}, as the axis has` };
	}
	for (const [at, item] of value.entries()) {
		const fault = listFault(item, inner, childPath(path, at));
		if (fault !== undefined) return fault;
	}
	return undefined;
}

function chainFault({ stages, result }: Chain): DocumentFault | undefined {
	const outs = new Set<string>();
	for (const [at, stage] of stages.entries()) {
		const place = childPath('$', 'stages', at);
		if (outs.has(stage.out)) {
			return { code: 'not-allowed', path: `${place}.out`, found: `${stage.out} a second time`, needed: 'another name' };
		}
		outs.add(stage.out);
		const families = riseFault(
			stage.curves.map((curve) => curve.family),
			`${place}.curves`,
		);
		if (families !== undefined) return families;
		for (const [curveAt, curve] of stage.curves.entries()) {
			const points = riseFault(
				curve.points.map(([x]) => x),
				`${place}.curves[${curveAt}].points`,
			);
			if (points !== undefined) return points;
		}
	}
	const last = stages.at(-1)?.out;
	if (last === result.id) return undefined;
	return {
		code: 'not-allowed',
		path: `$.stages[${stages.length - 1}].out`,
		found: String(last),
		needed: `${result.id}, the chart's result`,
	};
}

function riseFault(values: readonly number[], path: string): DocumentFault | undefined {
	const at = values.findIndex((value, index) => index > 0 && value <= (values[index - 1] ?? Number.NEGATIVE_INFINITY));
	if (at === -1) return undefined;
	return {
		code: 'not-allowed',
		path: childPath(path, at),
		found: String(values[at]),
		needed: 'values that rise from one to the next',
	};
}
