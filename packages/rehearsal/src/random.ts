/** Numbers from 0 to 1, excluded; the same seed gives the same row of numbers on every engine (32-bit integer arithmetic). */
export type Draw = () => number;

/** A seeded generator: a Weyl sequence with two multiply-xorshift rounds. */
export function seededDraw(seed: number): Draw {
	let state = seed | 0;
	return () => {
		state = (state + 0x9e3779b9) | 0;
		let mixed = Math.imul(state ^ (state >>> 16), 0x21f0aaad);
		mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
		return ((mixed ^ (mixed >>> 15)) >>> 0) / 2 ** 32;
	};
}

/** Standard normal, Box and Muller; uses two draws. */
export function normal(draw: Draw): number {
	const radius = Math.sqrt(-2 * Math.log(1 - draw()));
	return radius * Math.cos(2 * Math.PI * draw());
}
