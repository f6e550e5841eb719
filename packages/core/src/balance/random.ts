/** A stream of numbers that a seed fixes: the same seed gives the same answer on every machine. */
export interface Random {
	/** Uniform in [0, 1). */
	readonly uniform: () => number;
	/** Standard normal. */
	readonly normal: () => number;
}

/** xoshiro128** (Blackman & Vigna 2018) seeded by splitmix32; normals by Marsaglia's polar method. */
export function randomFrom(seed: number): Random {
	let mix = seed >>> 0;
	const next = (): number => {
		mix = (mix + 0x9e3779b9) | 0;
		let z = mix ^ (mix >>> 16);
		z = Math.imul(z, 0x21f0aaad);
		z ^= z >>> 15;
		z = Math.imul(z, 0x735a2d97);
		return (z ^ (z >>> 15)) >>> 0;
	};
	let s0 = next();
	let s1 = next();
	let s2 = next();
	let s3 = next();
	const uniform = (): number => {
		const times5 = Math.imul(s1, 5);
		const result = Math.imul((times5 << 7) | (times5 >>> 25), 9) >>> 0;
		const shifted = s1 << 9;
		s2 ^= s0;
		s3 ^= s1;
		s1 ^= s2;
		s0 ^= s3;
		s2 ^= shifted;
		s3 = (s3 << 11) | (s3 >>> 21);
		return result / 4294967296;
	};
	let kept = Number.NaN;
	const normal = (): number => {
		if (!Number.isNaN(kept)) {
			const value = kept;
			kept = Number.NaN;
			return value;
		}
		for (;;) {
			const x = 2 * uniform() - 1;
			const y = 2 * uniform() - 1;
			const square = x * x + y * y;
			if (square >= 1 || square === 0) continue;
			const stretch = Math.sqrt((-2 * Math.log(square)) / square);
			kept = y * stretch;
			return x * stretch;
		}
	};
	return { uniform, normal };
}
