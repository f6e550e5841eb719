export { type FeedFaults, type FeedMoment, type FeedPulse, FeedWatch } from './watch.js';
