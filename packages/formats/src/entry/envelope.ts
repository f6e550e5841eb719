import * as v from 'valibot';
import {
	chainText,
	finite,
	hashText,
	instant,
	kindText,
	notNegative,
	optionalName,
	publicKeyText,
	signatureText,
	wholeFrom1,
} from './text.js';

export const ENTRY_VERSION = 1;
/** Largest entry, in bytes of its canonical form with `hash` and `sig`. */
export const ENTRY_BYTES_MAX = 16 * 1024;
/** Objects and arrays inside one another, the entry itself counted. */
export const ENTRY_DEPTH_MAX = 12;

/** How a value came to be known. `memory` = an instrument's stored value. */
export const sources = ['seen', 'instrument-file', 'feed', 'paper', 'memory'] as const;

const sortedHashes = v.pipe(
	v.array(hashText),
	v.maxLength(128),
	v.check((list) => list.every((hash, i) => i === 0 || (list[i - 1] as string) < hash), 'sorted, none twice'),
);

/** Stands in the first entry of a chain only: whose chain it is, and what that pen had written before. */
export const penSchema = v.strictObject({
	publicKey: publicKeyText,
	/** Last entries of this key's earlier chains, as far as this device knows them. */
	heads: sortedHashes,
	/** `non-extractable`: the key cannot leave the device's key store; `extractable`: kept by a library in software. */
	keeping: v.picklist(['non-extractable', 'extractable']),
	/** `without-code`: the pen was passed in flight by one tap, so nobody proved who holds it. */
	unlocked: v.picklist(['by-code', 'without-code']),
});

/** Fields that every entry carries whatever its kind. Kinds may not use these names. */
export const envelopeEntries = {
	v: v.literal(ENTRY_VERSION),
	/** Hash of the record's `opened` entry; null in `opened` itself. */
	record: v.nullable(hashText),
	chain: chainText,
	seq: wholeFrom1,
	n: wholeFrom1,
	prev: v.nullable(hashText),
	seen: sortedHashes,
	at: instant,
	/** Milliseconds since the page was loaded; never goes backwards within a chain on a sound device. */
	up: notNegative,
	clock: v.nullable(v.strictObject({ offsetMs: finite, errorMs: notNegative, ageS: notNegative })),
	/** When it was so, if that isn't when it was written; `who` if somebody else than the writer saw it. */
	observed: v.nullable(v.strictObject({ from: instant, to: instant, who: v.optional(optionalName) })),
	source: v.picklist(sources),
	/** Fingerprint of the key: SHA-256 of its 32 bytes. */
	by: hashText,
	pen: v.optional(penSchema),
	kind: kindText,
	hash: hashText,
	sig: signatureText,
} as const;

export const envelopeSchema = v.looseObject(envelopeEntries);

export type Source = (typeof sources)[number];
export type JsonValue = string | number | boolean | null | readonly JsonValue[] | { readonly [key: string]: JsonValue };

export type Pen = {
	readonly publicKey: string;
	readonly heads: readonly string[];
	readonly keeping: 'non-extractable' | 'extractable';
	readonly unlocked: 'by-code' | 'without-code';
};

export type Clock = {
	readonly offsetMs: number;
	readonly errorMs: number;
	readonly ageS: number;
};

export type Observed = {
	readonly from: string;
	readonly to: string;
	readonly who?: string;
};

export type Envelope = {
	readonly v: 1;
	readonly record: string | null;
	readonly chain: string;
	readonly seq: number;
	readonly n: number;
	readonly prev: string | null;
	readonly seen: readonly string[];
	readonly at: string;
	readonly up: number;
	readonly clock: Clock | null;
	readonly observed: Observed | null;
	readonly source: Source;
	readonly by: string;
	readonly pen?: Pen;
	readonly kind: string;
	readonly hash: string;
	readonly sig: string;
};

/** Any entry with a sound envelope; its fields are plain JSON, judged by kind elsewhere (`readFields`). */
export type Entry = Envelope & { readonly [field: string]: JsonValue | undefined };
