export { type FeedLink, type FeedTarget, joinByInvite, openFeed } from './send-feed.js';
export type { Recorded } from './trace-recorder.js';
