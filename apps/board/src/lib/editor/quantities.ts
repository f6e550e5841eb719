import { typeData } from '$lib/words/type-data.js';

/** Quantities that the board knows by name, offered while typing; others may be typed. */
export const quantities: Readonly<Record<string, string>> = typeData.quantities;

/** "outside air" and its unit; an id that the board does not know stands for itself. */
export function quantityWords(id: string): readonly [label: string, unit: string] {
	const [label = id, unit = ''] = quantities[id]?.split(', ') ?? [];
	return [label, unit];
}
