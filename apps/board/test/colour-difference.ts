/** Linear light of one sRGB channel byte, IEC 61966-2-1. */
function linear(byte: number): number {
	const share = byte / 255;
	return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
}

export type Triple = readonly [number, number, number];

/** `#RRGGBB` → linear sRGB, 0 to 1. */
export function linearRgb(hex: string): Triple {
	const channel = (at: number) => linear(Number.parseInt(hex.slice(at, at + 2), 16));
	return [channel(1), channel(3), channel(5)];
}

/** Contrast ratio 1 to 21. Source: W3C WCAG 2.2, "relative luminance" and "contrast ratio" (published). */
export function contrastRatio(oneHex: string, otherHex: string): number {
	const luminance = (hex: string) => {
		const [red, green, blue] = linearRgb(hex);
		return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
	};
	const [darker, lighter] = [luminance(oneHex), luminance(otherHex)].sort((a, b) => a - b) as [number, number];
	return (lighter + 0.05) / (darker + 0.05);
}

export type Deficiency = 'none' | 'protan' | 'deutan' | 'tritan';

/**
 * Simulation of full dichromacy in linear sRGB.
 * Source: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for Simulation of Color
 * Vision Deficiency", IEEE TVCG 15(6), 2009, matrices for severity 1.0. Basis: published matrices, typed from memory;
 * rows must sum to 1 (white stays white), which the test checks.
 */
export const deficiencyMatrices: Readonly<Record<Deficiency, readonly [Triple, Triple, Triple]>> = {
	none: [
		[1, 0, 0],
		[0, 1, 0],
		[0, 0, 1],
	],
	protan: [
		[0.152286, 1.052583, -0.204868],
		[0.114503, 0.786281, 0.099216],
		[-0.003882, -0.048116, 1.051998],
	],
	deutan: [
		[0.367322, 0.860646, -0.227968],
		[0.280085, 0.672501, 0.047413],
		[-0.01182, 0.04294, 0.968881],
	],
	tritan: [
		[1.255528, -0.076749, -0.178779],
		[-0.078411, 0.930809, 0.147602],
		[0.004733, 0.691367, 0.3039],
	],
};

/** How a colour looks to somebody with that deficiency, as CIELAB (D65, 2°). */
export function seenLab(hex: string, deficiency: Deficiency): Triple {
	const source = linearRgb(hex);
	const seen = deficiencyMatrices[deficiency].map((row) =>
		Math.min(1, Math.max(0, row[0] * source[0] + row[1] * source[1] + row[2] * source[2])),
	) as unknown as Triple;
	return labOf(seen);
}

function labOf([red, green, blue]: Triple): Triple {
	const x = (0.4124564 * red + 0.3575761 * green + 0.1804375 * blue) / 0.95047;
	const y = 0.2126729 * red + 0.7151522 * green + 0.072175 * blue;
	const z = (0.0193339 * red + 0.119192 * green + 0.9503041 * blue) / 1.08883;
	const cubic = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : (24389 / 27) * (t / 116) + 16 / 116);
	return [116 * cubic(y) - 16, 500 * (cubic(x) - cubic(y)), 200 * (cubic(y) - cubic(z))];
}

const degree = Math.PI / 180;

/**
 * CIEDE2000 with kL = kC = kH = 1. Source: G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 Color-Difference Formula",
 * Color Research and Application 30(1), 2005 (formula from memory, checked against that paper's test pairs).
 */
export function deltaE2000(one: Triple, other: Triple): number {
	const [l1, a1, b1] = one;
	const [l2, a2, b2] = other;
	const meanC = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
	const g = 0.5 * (1 - Math.sqrt(meanC ** 7 / (meanC ** 7 + 25 ** 7)));
	const c1 = Math.hypot(a1 * (1 + g), b1);
	const c2 = Math.hypot(a2 * (1 + g), b2);
	const h1 = hueDeg(a1 * (1 + g), b1);
	const h2 = hueDeg(a2 * (1 + g), b2);
	const isGrey = c1 * c2 === 0;
	const turn = isGrey ? 0 : ((h2 - h1 + 540) % 360) - 180;
	const deltaL = l2 - l1;
	const deltaC = c2 - c1;
	const deltaH = 2 * Math.sqrt(c1 * c2) * Math.sin((turn / 2) * degree);
	const meanL = (l1 + l2) / 2;
	const meanCPrime = (c1 + c2) / 2;
	const meanH = isGrey ? h1 + h2 : meanHueDeg(h1, h2);
	const t =
		1 -
		0.17 * Math.cos((meanH - 30) * degree) +
		0.24 * Math.cos(2 * meanH * degree) +
		0.32 * Math.cos((3 * meanH + 6) * degree) -
		0.2 * Math.cos((4 * meanH - 63) * degree);
	const sL = 1 + (0.015 * (meanL - 50) ** 2) / Math.sqrt(20 + (meanL - 50) ** 2);
	const sC = 1 + 0.045 * meanCPrime;
	const sH = 1 + 0.015 * meanCPrime * t;
	const rotation = 30 * Math.exp(-(((meanH - 275) / 25) ** 2));
	const rT = -2 * Math.sqrt(meanCPrime ** 7 / (meanCPrime ** 7 + 25 ** 7)) * Math.sin(2 * rotation * degree);
	return Math.sqrt((deltaL / sL) ** 2 + (deltaC / sC) ** 2 + (deltaH / sH) ** 2 + rT * (deltaC / sC) * (deltaH / sH));
}

function hueDeg(a: number, b: number): number {
	return a === 0 && b === 0 ? 0 : (Math.atan2(b, a) / degree + 360) % 360;
}

function meanHueDeg(h1: number, h2: number): number {
	if (Math.abs(h1 - h2) <= 180) return (h1 + h2) / 2;
	return h1 + h2 < 360 ? (h1 + h2 + 360) / 2 : (h1 + h2 - 360) / 2;
}
