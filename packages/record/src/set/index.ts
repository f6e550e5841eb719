export { EntrySet, type ForkAlarm, type Head } from './entry-set.js';
export { compareEntries } from './order.js';
