export { entryText } from './entry-text.js';
export {
	createKey,
	type KeptKey,
	openKey,
	type PenKey,
	type Random,
	softwareKey,
	type VerifyingKey,
	verifyingKey,
} from './pen-key.js';
export { type CodeLock, type LockedKey, lockKey, unlockKey } from './pen-lock.js';
