export {
	type Arrivals,
	addEntries,
	applyUpdate,
	type CarrierAlarm,
	createCarrier,
	isWaiting,
	missingUpdate,
	observeEntries,
	readEntries,
	stateVector,
	updateOf,
} from './carrier.js';
export { Draft, type DraftEvents, type DraftProblem, isDraftQuestion } from './draft.js';
export { type GuardProblem, guardUpdate } from './guard.js';
export { ENTRIES_ROOT, type UpdateProblem, withoutDeletes } from './update.js';
