import * as v from 'valibot';
import { finite, words } from '../value/index.js';

/**
 * `stillmast/provenance@1`: where each number of a type's data was read, who typed it and who compared it with the page.
 * It stands beside the documents it speaks of, so that these stay as they are.
 */

const numberSource = v.strictObject({
	/** The number this was said of; another number at the same place has not been compared. */
	value: finite,
	document: words,
	revision: words,
	page: words,
	typedBy: words,
	/** Another person than `typedBy`; `null` while nobody has compared it. */
	checkedBy: v.nullable(words),
});

export const provenanceSchema = v.strictObject({
	format: v.literal('stillmast/provenance@1'),
	type: words,
	/** By the number's place, `type:limits/torque-to-40/above`. */
	numbers: v.record(v.pipe(v.string(), v.minLength(1), v.maxLength(600)), numberSource),
});

export type NumberSource = v.InferOutput<typeof numberSource>;
export type ProvenanceDocument = v.InferOutput<typeof provenanceSchema>;
