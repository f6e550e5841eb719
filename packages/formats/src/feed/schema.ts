import * as v from 'valibot';
import { fieldId, finite, name, optionalName, unit } from '../entry/text.js';

/** Most channels of one feed, as in a `trace` entry. */
export const FEED_CHANNELS_MAX = 128;

/** First line of a feed: what it is, and of which aircraft. */
export const feedHeadSchema = v.strictObject({
	format: v.literal('stillmast/feed@1'),
	/** Tells feeds of one aircraft apart. */
	source: name,
	/** Must be the record's: a feed of another aircraft is refused. */
	registration: name,
	channels: v.pipe(
		v.array(v.strictObject({ id: fieldId, unit })),
		v.minLength(1),
		v.maxLength(FEED_CHANNELS_MAX),
		v.check((list) => new Set(list.map(({ id }) => id)).size === list.length, 'each channel once'),
	),
});

/** Every further line: one moment. A channel that is not named has no sample then; `states` are words such as `phase`. */
export const feedSampleSchema = v.strictObject({
	/** The source's own time. */
	timeS: finite,
	values: v.record(fieldId, finite),
	states: v.optional(v.record(fieldId, optionalName)),
});

/** Last line: everything sent before is to be kept and counted. */
export const feedEndSchema = v.strictObject({ end: v.literal(true) });

export const feedLineSchema = v.union([feedHeadSchema, feedSampleSchema, feedEndSchema]);

export type FeedHead = v.InferOutput<typeof feedHeadSchema>;
export type FeedSample = v.InferOutput<typeof feedSampleSchema>;
