import { typeData } from '$lib/words/type-data.js';

/** Quantities that the board knows by name, offered while typing; others may be typed. */
export const quantities: Readonly<Record<string, string>> = typeData.quantities;
