export { type FeedLine, type FeedLineProblem, readFeedLine } from './read-line.js';
export {
	FEED_CHANNELS_MAX,
	type FeedHead,
	type FeedSample,
	feedEndSchema,
	feedHeadSchema,
	feedLineSchema,
	feedSampleSchema,
} from './schema.js';
