export {
	type Clock,
	ENTRY_BYTES_MAX,
	ENTRY_DEPTH_MAX,
	ENTRY_VERSION,
	type Entry,
	type Envelope,
	envelopeEntries,
	envelopeSchema,
	type JsonValue,
	type Observed,
	type Pen,
	penSchema,
	type Source,
	sources,
} from './envelope.js';
export { type EntryOf, type FieldsOf, isKind, type Kind, type KnownEntry, kindSchemas, kinds } from './kinds.js';
export { type Purpose, purposes, type Role, roles } from './kinds-trust.js';
export {
	type EntryProblem,
	type FieldsRead,
	fieldsProblem,
	parseEntry,
	parseEnvelope,
	readFields,
} from './parse-entry.js';
export { memberPath, type PlainJsonLimits, type PlainJsonProblem, plainJson, utf8Bytes } from './plain-json.js';
export { BYTES_8, BYTES_32, BYTES_64, chainText, hashText, publicKeyText, signatureText } from './text.js';
