import * as v from 'valibot';
import { finite, id, notNegative, words } from '../value/index.js';

/**
 * `stillmast/chart@1`: a flight-manual chart as data, either a grid of values over one to four axes or a chain of
 * curve families read one after the other. `stillmast/power-reading@1`: what was observed, and under which conditions.
 */

const result = v.strictObject({
	id,
	/** `max`: the reading must not be above the chart's value; `min`: not below it. */
	sense: v.picklist(['max', 'min']),
	/** A reading exactly on the limit is inside (`at-most`) unless the manual says otherwise (`below`). */
	rule: v.optional(v.picklist(['at-most', 'below'])),
	unit: v.optional(words),
	/** A margin above this is rather a wrong indication than a good engine. */
	tooGoodMargin: v.optional(notNegative),
});

const interpolation = v.picklist(['linear', 'monotone-cubic']);

const axis = v.strictObject({ id, values: v.pipe(v.array(finite), v.minLength(2), v.maxLength(200)) });

const grid = v.strictObject({
	format: v.literal('stillmast/chart@1'),
	kind: v.literal('grid'),
	result,
	axes: v.pipe(v.array(axis), v.minLength(1), v.maxLength(4)),
	/** Lists within lists, one level for each axis in the order of `axes`, numbers innermost. */
	values: v.array(v.unknown()),
	interpolation,
	reference: v.optional(words),
});

const curve = v.strictObject({
	family: finite,
	points: v.pipe(v.array(v.tuple([finite, finite])), v.minLength(2), v.maxLength(500)),
});

const stage = v.strictObject({
	/** A condition, or an earlier stage's `out`. */
	in: id,
	/** What tells the curves of this stage apart. */
	family: id,
	out: id,
	curves: v.pipe(v.array(curve), v.minLength(1), v.maxLength(100)),
});

const chain = v.strictObject({
	format: v.literal('stillmast/chart@1'),
	kind: v.literal('chain'),
	result,
	stages: v.pipe(v.array(stage), v.minLength(1), v.maxLength(10)),
	interpolation: v.optional(interpolation),
	reference: v.optional(words),
});

export const chartSchema = v.variant('kind', [grid, chain]);

export const powerReadingSchema = v.strictObject({
	format: v.literal('stillmast/power-reading@1'),
	/** One value, or one for each chart by the id of its result. */
	observed: v.union([finite, v.record(id, finite)]),
	conditions: v.record(id, finite),
	sd: v.optional(v.record(id, notNegative)),
});
