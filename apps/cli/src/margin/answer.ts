import type { Chart, Margin, Margins, PowerReading } from '@stillmast/core/power';
import { marginsOf } from '@stillmast/core/power';
import { fail, ok, type Result } from '@stillmast/core/result';
import { readChart, readPowerReading } from '@stillmast/formats/chart';
import { parseDocument } from '../document/read-file.js';

export type Charts = readonly [Chart, ...Chart[]];

/** What `stillmast margin` prints: the governing chart's margin, and each chart's where there are several. */
export type MarginAnswer = Margin & {
	readonly format: 'stillmast/margin@1';
	readonly governing?: string;
	readonly charts?: readonly Margin[];
};

/** From bytes to a chart: UTF-8, JSON, schema, meaning; the first fault ends it. */
export function chartFrom(bytes: Uint8Array): Result<Chart> {
	const parsed = parseDocument(bytes);
	return parsed.ok ? readChart(parsed.value) : parsed;
}

/** From the bytes of a reading to the answer. */
export function answerTo(charts: Charts, bytes: Uint8Array): Result<MarginAnswer> {
	const parsed = parseDocument(bytes);
	return parsed.ok ? answerToValue(charts, parsed.value) : parsed;
}

/** From a line that holds its own charts, `{ "charts": […], "reading": {…} }`, to the answer. */
export function answerToLine(bytes: Uint8Array): Result<MarginAnswer> {
	const parsed = parseDocument(bytes);
	if (!parsed.ok) return parsed;
	const line: { readonly charts?: unknown; readonly chart?: unknown; readonly reading?: unknown } =
		typeof parsed.value === 'object' && parsed.value !== null ? parsed.value : {};
	const given = Array.isArray(line.charts) ? line.charts : line.chart === undefined ? [] : [line.chart];
	const charts: Chart[] = [];
	for (const [at, value] of given.entries()) {
		const chart = readChart(value);
		if (!chart.ok) return fail(placedIn(Array.isArray(line.charts) ? `$.charts[${at}]` : '$.chart', chart.problem));
		charts.push(chart.value);
	}
	const [first, ...rest] = charts;
	if (first === undefined) {
		return fail({ code: 'missing-field', found: Object.keys(line), needed: 'charts and reading', path: '$.charts' });
	}
	const answer = answerToValue([first, ...rest], line.reading);
	return answer.ok ? answer : fail(placedIn('$.reading', answer.problem));
}

function answerToValue(charts: Charts, value: unknown): Result<MarginAnswer> {
	const reading: Result<PowerReading> = readPowerReading(value);
	if (!reading.ok) return reading;
	const margins = marginsOf(charts, reading.value);
	return margins.ok ? ok(shaped(margins.value)) : margins;
}

function shaped({ charts, governing }: Margins): MarginAnswer {
	return {
		format: 'stillmast/margin@1',
		...governing,
		...(charts.length === 1 ? {} : { governing: governing.result, charts }),
	};
}

/** A problem's path as it stands in the line that holds the document. */
function placedIn<P extends { readonly path?: string }>(place: string, problem: P): P {
	return { ...problem, path: (problem.path ?? '$').replace('$', () => place) };
}
