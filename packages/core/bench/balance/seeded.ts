/** Seeded draws of the bench, apart from those the solver makes. */
export interface Seeded {
	/** In [0, 1). */
	readonly uniform: () => number;
	/** Mean 0, sd 1. */
	readonly normal: () => number;
}

/** mulberry32 (32-bit state, published constants) and the Box–Muller transform. */
export function seeded(seed: number): Seeded {
	let state = seed | 0;
	const uniform = () => {
		state = (state + 0x6d2b79f5) | 0;
		let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
		mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
		return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
	};
	return {
		uniform,
		normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
	};
}
