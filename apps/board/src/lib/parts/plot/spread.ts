/**
 * Moves labels just far enough down that none covers its neighbour; their order from top to bottom stays.
 * @param places where each label would like to stand, y downwards
 * @param gap least distance between two labels
 */
export function spreadApart(places: readonly number[], gap: number): readonly number[] {
	const order = places.map((place, index) => ({ place, index })).sort((one, other) => one.place - other.place);
	const spread = [...places];
	let last = Number.NEGATIVE_INFINITY;
	for (const { place, index } of order) {
		last = Math.max(place, last + gap);
		spread[index] = last;
	}
	return spread;
}
