export { fromBase64url, toBase64url } from './hash/base64url.js';
export { canonicalJson } from './hash/canonical-json.js';
export { type AdmitProblem, admitEntry, fingerprint, hashBytes, hashEntry, hashJson } from './hash/hash-entry.js';
export { entryText } from './pen/entry-text.js';
export {
	createKey,
	type KeptKey,
	openKey,
	type PenKey,
	type Random,
	softwareKey,
	type VerifyingKey,
	verifyingKey,
} from './pen/pen-key.js';
export { type Proof, type ProveOptions, prove, type Unproved } from './proof/prove.js';
export { EntrySet, type ForkAlarm, type Head } from './set/entry-set.js';
export { compareEntries } from './set/order.js';
export { mayWrite, type RoleFacts, type RoleRule, roleTable, writes } from './wire/role-table.js';
export {
	ChainWriter,
	type Circumstances,
	openRecord,
	type WriterClock,
	type WriterOptions,
} from './writer/chain-writer.js';
