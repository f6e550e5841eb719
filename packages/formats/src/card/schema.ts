import * as v from 'valibot';
import { finite, id, notNegative, words } from '../value/index.js';
import { fieldSchema } from './fields.js';

/**
 * Check card (`stillmast/card@1`): the steps of a check in flying order, what to hold in each, and what to write down.
 * The card never holds limits of its own: steps name lines and channels of the type data.
 */

const entryCondition = v.strictObject({
	/** `oatC`, `iasKt`, `massKg`, …: a context quantity or a header field. */
	quantity: id,
	atLeast: v.optional(finite),
	atMost: v.optional(finite),
});

const step = v.strictObject({
	id,
	title: v.pipe(v.string(), v.minLength(1), v.maxLength(40)),
	/** Height of the step in the flight's silhouette. */
	phase: v.picklist(['preparation', 'ground', 'lift-off', 'hover', 'climb', 'level', 'descent', 'landing', 'after']),
	regime: v.optional(id),
	iasKt: v.optional(notNegative),
	/** Who does it; both unless stated. */
	who: v.optional(v.picklist(['pilot', 'engineer', 'both'])),
	/** How the flight manual classes the procedure; normal unless stated. `backup`: proves a backup or safety device. */
	procedure: v.optional(v.picklist(['normal', 'abnormal', 'emergency', 'backup'])),
	/** Steps that must be done first, beside the order of the card. */
	needs: v.optional(v.array(id)),
	/** Conditions to begin it; all must hold. */
	entry: v.optional(v.array(entryCondition)),
	/** What to hold, in one or two short sentences. */
	hold: words,
	/** Limit lines (of the type data) whose condition this step allows. */
	lines: v.array(id),
	fields: v.array(fieldSchema),
});

export const cardSchema = v.strictObject({
	format: v.literal('stillmast/card@1'),
	id,
	title: words,
	revision: words,
	type: words,
	invented: v.boolean(),
	signedBy: v.pipe(v.array(v.picklist(['pilot', 'engineer'])), v.minLength(1)),
	steps: v.pipe(v.array(step), v.minLength(1)),
});

export type Card = v.InferOutput<typeof cardSchema>;
export type CardStep = Card['steps'][number];
export type CardField = CardStep['fields'][number];
export type CardFieldOf<K extends CardField['kind']> = Extract<CardField, { readonly kind: K }>;
