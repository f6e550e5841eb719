import { wrap360 } from './angle.js';
import { type Complex, degPerRad } from './complex.js';

const quarterTurns: readonly Complex[] = [
	{ re: 1, im: 0 },
	{ re: 0, im: 1 },
	{ re: -1, im: 0 },
	{ re: 0, im: -1 },
];

/** exp(i·angle): the turn by an angle in degrees. Exact at whole quarter turns, so that opposite arms cancel to zero. */
export function turnBy(angleDeg: number): Complex {
	const wrapped = wrap360(angleDeg);
	const quarter = wrapped / 90;
	const exact = Number.isInteger(quarter) ? quarterTurns[quarter] : undefined;
	if (exact) return exact;
	return { re: Math.cos(wrapped / degPerRad), im: Math.sin(wrapped / degPerRad) };
}

/** The complex number of a size and an angle in degrees. */
export function fromPolar(size: number, angleDeg: number): Complex {
	const turn = turnBy(angleDeg);
	return { re: turn.re * size, im: turn.im * size };
}

/** The angle of a complex number in [0, 360) degrees; of zero it is 0. */
export function angleOfDeg(a: Complex): number {
	return wrap360(Math.atan2(a.im, a.re) * degPerRad);
}
