import * as v from 'valibot';

/*
 * Base64url without padding leaves spare bits in the last character; a decoder that ignores them accepts four or
 * sixteen spellings of one value, and two spellings would be two hashes. So the last character is restricted.
 */
const LAST_OF_TWO_SPARE_BITS = '[AEIMQUYcgkosw048]';
const LAST_OF_FOUR_SPARE_BITS = '[AQgw]';

/** SHA-256 or an Ed25519 public key: 32 bytes in 43 base64url characters. */
export const BYTES_32 = new RegExp(`^[A-Za-z0-9_-]{42}${LAST_OF_TWO_SPARE_BITS}$`);
/** An Ed25519 signature: 64 bytes in 86 base64url characters. */
export const BYTES_64 = new RegExp(`^[A-Za-z0-9_-]{85}${LAST_OF_FOUR_SPARE_BITS}$`);
/** A chain id: 8 bytes in 11 base64url characters. */
export const BYTES_8 = new RegExp(`^[A-Za-z0-9_-]{10}${LAST_OF_TWO_SPARE_BITS}$`);
/** UTC with milliseconds, as `Date.prototype.toISOString` writes it for the years 0 to 9999. */
const ISO_UTC_MS =
	/^\d{4}-(?:(?:0[13578]|1[02])-(?:0[1-9]|[12]\d|3[01])|(?:0[469]|11)-(?:0[1-9]|[12]\d|30)|02-(?:0[1-9]|1\d|2\d))T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$/;

export const hashText = v.pipe(v.string(), v.regex(BYTES_32, 'SHA-256 in base64url, 43 characters'));
export const publicKeyText = v.pipe(v.string(), v.regex(BYTES_32, '32 bytes in base64url, 43 characters'));
export const signatureText = v.pipe(v.string(), v.regex(BYTES_64, '64 bytes in base64url, 86 characters'));
export const chainText = v.pipe(v.string(), v.regex(BYTES_8, '8 bytes in base64url, 11 characters'));
export const instant = v.pipe(v.string(), v.regex(ISO_UTC_MS, 'UTC with milliseconds, 2026-01-31T12:00:00.000Z'));

/** Ids of fields, steps, channels, adjusters, parameters: no spaces, so that they can be keys and paths. */
export const FIELD_ID = /^[A-Za-z0-9][A-Za-z0-9._:/-]{0,95}$/;
export const fieldId = v.pipe(v.string(), v.regex(FIELD_ID, 'letters, digits and . _ : / -, at most 96'));
export const kindText = v.pipe(v.string(), v.regex(/^[a-z][a-z-]{0,31}$/, 'a kind: small letters and -'));

export const name = v.pipe(v.string(), v.minLength(1), v.maxLength(120));
export const optionalName = v.pipe(v.string(), v.maxLength(120));
export const unit = v.pipe(v.string(), v.maxLength(24));
/** One or a few sentences. May be empty where the kind says so. */
export const sentence = v.pipe(v.string(), v.maxLength(1000));
/** Free text of a narrative: leaves room for the envelope within 16 KiB even when every character takes three bytes. */
export const longText = v.pipe(v.string(), v.maxLength(4500));

export const finite = v.pipe(v.number(), v.finite());
export const notNegative = v.pipe(v.number(), v.finite(), v.minValue(0));
export const wholeFrom0 = v.pipe(v.number(), v.safeInteger(), v.minValue(0));
export const wholeFrom1 = v.pipe(v.number(), v.safeInteger(), v.minValue(1));
/** Lag phase: 0 included, 360 not. */
export const phaseDeg = v.pipe(v.number(), v.minValue(0), v.ltValue(360));
export const chance = v.pipe(v.number(), v.minValue(0), v.maxValue(1));

export const hashList = v.pipe(v.array(hashText), v.maxLength(128));
