/** A complex number in Cartesian parts: how every phasor is held for arithmetic. */
export interface Complex {
	readonly re: number;
	readonly im: number;
}

/** Degrees in one radian turn, kept apart so that no file carries its own factor. */
export const degPerRad = 180 / Math.PI;

export const zero: Complex = { re: 0, im: 0 };

export function add(a: Complex, b: Complex): Complex {
	return { re: a.re + b.re, im: a.im + b.im };
}

export function subtract(a: Complex, b: Complex): Complex {
	return { re: a.re - b.re, im: a.im - b.im };
}

export function multiply(a: Complex, b: Complex): Complex {
	return { re: a.re * b.re - a.im * b.im, im: a.re * b.im + a.im * b.re };
}

export function scale(a: Complex, factor: number): Complex {
	return { re: a.re * factor, im: a.im * factor };
}

export function negate(a: Complex): Complex {
	return { re: -a.re, im: -a.im };
}

export function conjugate(a: Complex): Complex {
	return { re: a.re, im: -a.im };
}

/** a ÷ b. The caller proves b is not zero; with b = 0 the parts are not finite. */
export function divide(a: Complex, b: Complex): Complex {
	// the larger part of b leads, so that neither |b|² nor its parts overflow or vanish
	if (Math.abs(b.re) >= Math.abs(b.im)) {
		const ratio = b.im / b.re;
		const size = b.re + b.im * ratio;
		return { re: (a.re + a.im * ratio) / size, im: (a.im - a.re * ratio) / size };
	}
	const ratio = b.re / b.im;
	const size = b.re * ratio + b.im;
	return { re: (a.re * ratio + a.im) / size, im: (a.im * ratio - a.re) / size };
}

export function magnitude(a: Complex): number {
	return Math.hypot(a.re, a.im);
}
