import * as v from 'valibot';

/** Building stones that every format shares, so that a name, a number or an angle is refused for the same reason everywhere. */

/** Name inside a document: letters, digits and `. / : -`, at most 64 characters. */
export const id = v.pipe(v.string(), v.regex(/^[A-Za-z0-9][A-Za-z0-9./:-]{0,63}$/));

/** Text for people: 1 to 300 characters. */
export const words = v.pipe(v.string(), v.minLength(1), v.maxLength(300));

export const finite = v.pipe(v.number(), v.finite());
export const positive = v.pipe(finite, v.gtValue(0));
export const notNegative = v.pipe(finite, v.minValue(0));
export const share = v.pipe(finite, v.minValue(0), v.maxValue(1));

/** Degrees, one turn either way. */
export const angleDeg = v.pipe(finite, v.minValue(-360), v.maxValue(360));
