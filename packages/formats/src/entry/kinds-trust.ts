import * as v from 'valibot';
import { chainText, hashList, hashText, name, optionalName, publicKeyText, sentence, wholeFrom1 } from './text.js';

/** Roles of people, and of the host that keeps and passes on the record. */
export const roles = ['pilot', 'engineer', 'support', 'instructor', 'reviewer', 'host'] as const;
export type Role = (typeof roles)[number];
export const role = v.picklist(roles);

export const purposes = ['flight', 'rehearsal', 'demo'] as const;
export type Purpose = (typeof purposes)[number];

/** First entry of a record; its hash is the record's id, its pen's key the creator and first authority. */
export const opened = v.strictObject({
	/** 32 random bytes: two checks opened with the same words are still two records. */
	nonce: publicKeyText,
	purpose: v.picklist(purposes),
	role,
	name,
	aircraft: v.strictObject({ registration: name, type: name, serial: optionalName }),
	/** Blob hashes of the card and of the type's data as they stood when the check was opened. */
	card: hashText,
	typeData: hashText,
});

export const enrolled = v.strictObject({
	publicKey: publicKeyText,
	role,
	name,
	/** Public id of the invite that was used (never its secret); null when enrolled by hand. */
	invite: v.nullable(v.pipe(v.string(), v.minLength(1), v.maxLength(64))),
});

/** Ends a key for good. Entries up to `heads` count; naming later heads in a further `revoked` adopts those too. */
export const revoked = v.strictObject({ key: hashText, heads: hashList, reason: sentence });

export const head = v.strictObject({ chain: chainText, seq: wholeFrom1, hash: hashText });

/** Signs `content`: a digest of exactly the entries up to `heads` (docs/formats/entry.md, "Signature"). */
export const signature = v.strictObject({
	content: hashText,
	/** 1 for the first content signed in the record; people who sign the same content share the number. */
	number: wholeFrom1,
	previous: v.nullable(hashText),
	heads: v.pipe(v.array(head), v.minLength(1), v.maxLength(96)),
	name,
	licence: optionalName,
	role: v.picklist(['pilot', 'engineer', 'instructor']),
	/** The very words that were shown and signed. */
	statement: v.pipe(v.string(), v.minLength(1), v.maxLength(2000)),
	/** Devices known to have written that will not come back, each with the last entry that is here. */
	lost: v.optional(
		v.pipe(
			v.array(v.strictObject({ key: hashText, last: v.nullable(hashText), reason: sentence })),
			v.minLength(1),
			v.maxLength(16),
		),
	),
});
