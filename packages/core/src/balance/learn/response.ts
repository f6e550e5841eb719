import type { RotorLayout } from './layout.js';
import type { Values } from './unknowns.js';

/** What the settings of a run mean for each kind: Σ turn·(moved + bend error) and Σ own·turn·moved, as re, im pairs. */
export interface Pull {
	readonly plain: Float64Array;
	readonly own: Float64Array;
}

export function pullOf(layout: RotorLayout, values: Values, moved: Float64Array, bendOf: Int32Array): Pull {
	const plain = new Float64Array(2 * layout.kinds.length);
	const own = new Float64Array(2 * layout.kinds.length);
	for (let j = 0; j < layout.adjusters.length; j++) {
		const m = layout.kindOf[j]!;
		if (m < 0) continue;
		const bend = bendOf[j]!;
		const step = moved[j]!;
		const true_ = step + (bend < 0 ? 0 : values.bend[bend]!);
		if (step === 0 && true_ === 0) continue;
		const re = layout.turn[2 * j]!;
		const im = layout.turn[2 * j + 1]!;
		plain[2 * m]! += re * true_;
		plain[2 * m + 1]! += im * true_;
		const a = values.own[2 * j]!;
		const b = values.own[2 * j + 1]!;
		own[2 * m]! += (a * re - b * im) * step;
		own[2 * m + 1]! += (a * im + b * re) * step;
	}
	return { plain, own };
}

/**
 * v_k = Σ_m T_km·[(1 + own_km)·(fault_m + factor_m·plain_m) + factor_m·own_m] + remainder_k, written to out[0], out[1].
 * To first order the design's T·(1 + common + channel + adjuster); as a product it stays near 1 for a large common error.
 */
export function respond(layout: RotorLayout, values: Values, k: number, pull: Pull, out: Float64Array): void {
	const kinds = layout.kinds.length;
	let re = values.remainder[2 * k]!;
	let im = values.remainder[2 * k + 1]!;
	for (let m = 0; m < kinds; m++) {
		const at = 2 * (k * kinds + m);
		const tRe = layout.table[at]!;
		const tIm = layout.table[at + 1]!;
		if (tRe === 0 && tIm === 0) continue;
		const gRe = values.factor[2 * m]!;
		const gIm = values.factor[2 * m + 1]!;
		const pRe = pull.plain[2 * m]!;
		const pIm = pull.plain[2 * m + 1]!;
		const fRe = values.fault[2 * m]! + gRe * pRe - gIm * pIm;
		const fIm = values.fault[2 * m + 1]! + gRe * pIm + gIm * pRe;
		const oRe = 1 + values.channelOwn[at]!;
		const oIm = values.channelOwn[at + 1]!;
		const aRe = pull.own[2 * m]!;
		const aIm = pull.own[2 * m + 1]!;
		const sRe = oRe * fRe - oIm * fIm + gRe * aRe - gIm * aIm;
		const sIm = oRe * fIm + oIm * fRe + gRe * aIm + gIm * aRe;
		re += tRe * sRe - tIm * sIm;
		im += tRe * sIm + tIm * sRe;
	}
	out[0] = re;
	out[1] = im;
}
