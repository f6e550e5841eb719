import * as v from 'valibot';
import { id, positive, words } from '../value/index.js';

/**
 * What a step asks to be written down. A field names what it is judged by in the type data (a channel, a limit line, a
 * hold, a transition, a consumer); it holds no limits itself.
 */

const vibrationField = v.strictObject({ id, kind: v.literal('vibration'), rotor: id, channel: id });

const numberField = v.strictObject({
	id,
	kind: v.literal('number'),
	name: words,
	unit: words,
	/** Two values of one field that differ by more than this are two readings. */
	resolution: positive,
	line: v.optional(id),
});

const doneField = v.strictObject({ id, kind: v.literal('done'), name: words });

/** Words of one's own; several pens stand side by side, nothing is judged. */
const textField = v.strictObject({ id, kind: v.literal('text'), name: words });

/** A condition held steady and averaged, then compared with charts: power assurance. */
const holdField = v.strictObject({
	id,
	kind: v.literal('hold'),
	name: words,
	/** Id of a hold in the type data: what is read, how steady, how long, which charts. */
	hold: id,
});

/** A movement from one level to another in a stated time, tried as often as needed. */
const rampField = v.strictObject({
	id,
	kind: v.literal('ramp'),
	name: words,
	/** Id of a transition in the type data: from, to, aim, and the limit lines that are watched. */
	transition: id,
});

/** A bleed consumer switched off, on and off again. */
const consumerField = v.strictObject({ id, kind: v.literal('consumer'), name: words, consumer: id });

/** Rotor speed in autorotation, read in several runs, compared with the type's chart. */
const autorotationField = v.strictObject({
	id,
	kind: v.literal('autorotation'),
	name: words,
	/** Runs to be read; fewer than two give no advice. */
	runs: v.pipe(positive, v.integer(), v.maxValue(6)),
});

export const fieldSchema = v.variant('kind', [
	vibrationField,
	numberField,
	doneField,
	textField,
	holdField,
	rampField,
	consumerField,
	autorotationField,
]);
