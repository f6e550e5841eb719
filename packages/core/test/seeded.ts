/** Seeded uniform draws in [0, 1): mulberry32, a public-domain generator, so that a failure repeats. */
export function uniformDraws(seed: number): () => number {
	let state = seed;
	return () => {
		state = (state + 0x6d2b79f5) | 0;
		let t = Math.imul(state ^ (state >>> 15), 1 | state);
		t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
		return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
	};
}

/** Seeded normal draws by Box and Muller. */
export function normalDraws(seed: number): () => number {
	const uniform = uniformDraws(seed);
	return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
}
