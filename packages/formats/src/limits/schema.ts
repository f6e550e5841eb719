import { fail, ok, type Result } from '@stillmast/core/result';
import * as v from 'valibot';
import { type DocumentFault, readAs } from '../problem/index.js';
import { finite, id, notNegative, positive, words } from '../value/index.js';

/**
 * `stillmast/limits@1`: the lines a trace is judged by. A line reads: above `above`, while `when` holds, at most
 * `maxSeconds` is allowed; 0 seconds means never.
 */

const range = v.pipe(
	v.tuple([finite, finite]),
	v.check(([from, to]) => from <= to, 'two numbers, the smaller first'),
);

/** What a parameter or state must be for the line to hold; all conditions of a line must hold together. */
const condition = v.strictObject({
	atLeast: v.optional(finite),
	atMost: v.optional(finite),
	between: v.optional(range),
	equals: v.optional(v.union([finite, words, v.boolean()])),
});

/** The bound read from a table over another parameter, straight between its points. */
const boundTable = v.strictObject({
	parameter: id,
	points: v.pipe(v.array(v.tuple([finite, finite])), v.minLength(2), v.maxLength(1000)),
});

const line = v.strictObject({
	id,
	above: v.optional(finite),
	below: v.optional(finite),
	between: v.optional(range),
	aboveByTable: v.optional(boundTable),
	maxSeconds: notNegative,
	when: v.optional(v.record(id, condition)),
	family: v.optional(id),
	rank: v.optional(finite),
	timeIs: v.optional(v.picklist(['each', 'sum-of-flight'])),
	resetAfterS: v.optional(notNegative),
	maxCount: v.optional(v.pipe(notNegative, v.integer())),
	reference: words,
});

const parameter = v.strictObject({
	id,
	unit: v.optional(words),
	slewPerSecond: v.optional(positive),
	periodS: v.optional(positive),
	resolution: v.optional(notNegative),
	shortestS: v.optional(positive),
	lines: v.optional(v.pipe(v.array(line), v.maxLength(200))),
});

export const limitsSchema = v.strictObject({
	format: v.literal('stillmast/limits@1'),
	parameters: v.pipe(v.array(parameter), v.minLength(1), v.maxLength(500)),
});

export type LimitsDocument = v.InferOutput<typeof limitsSchema>;
export type LimitParameter = LimitsDocument['parameters'][number];
export type LimitLine = NonNullable<LimitParameter['lines']>[number];

const bounds = ['above', 'below', 'between', 'aboveByTable'] as const;

/**
 * Reads a parsed `stillmast/limits@1` document.
 * @returns the document; or the first fault: of its shape, a line without exactly one bound, an id that stands twice,
 * a table whose points do not rise
 */
export function readLimits(value: unknown): Result<LimitsDocument, DocumentFault> {
	const read = readAs(limitsSchema, value);
	if (!read.ok) return read;
	const parameterIds = new Set<string>();
	const lineIds = new Set<string>();
	for (const [at, { id: parameterId, lines = [] }] of read.value.parameters.entries()) {
		const place = `$.parameters[${at}]`;
		if (parameterIds.has(parameterId)) return twice(`${place}.id`, parameterId);
		parameterIds.add(parameterId);
		for (const [lineAt, one] of lines.entries()) {
			const linePlace = `${place}.lines[${lineAt}]`;
			if (lineIds.has(one.id)) return twice(`${linePlace}.id`, one.id);
			lineIds.add(one.id);
			const given = bounds.filter((bound) => one[bound] !== undefined);
			if (given.length !== 1) {
				return fail({
					code: 'not-allowed',
					path: linePlace,
					found: given.length === 0 ? 'no bound' : given.join(' and '),
					needed: `exactly one of ${bounds.join(', ')}`,
				});
			}
			const fallen = fallsAt(one.aboveByTable?.points ?? []);
			if (fallen !== undefined) {
				return fail({
					code: 'not-allowed',
					path: `${linePlace}.aboveByTable.points[${fallen}][0]`,
					found: 'a value not above the one before',
					needed: 'rising values',
				});
			}
		}
	}
	return ok(read.value);
}

function twice(path: string, found: string): Result<never, DocumentFault> {
	return fail({ code: 'not-allowed', path, found: `${found} a second time`, needed: 'each id once' });
}

function fallsAt(points: readonly (readonly [number, number])[]): number | undefined {
	const at = points.findIndex(([x], index) => index > 0 && x <= (points[index - 1]?.[0] ?? Number.NEGATIVE_INFINITY));
	return at === -1 ? undefined : at;
}
