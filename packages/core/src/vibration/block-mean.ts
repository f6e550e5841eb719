import type { Complex } from '../phasor/index.js';

/** Fewest revolutions a block may hold: neighbouring revolutions are not independent, blocks of this size nearly are (practice). */
export const blockRevolutions = 30;

/** Fewest half-overlapping blocks whose scatter is trusted; with fewer the revolutions themselves are used, as if independent. */
export const fewestBlocks = 4;

/** A run of revolutions that follow each other without a break, as positions in the record's list. */
export interface Stretch {
	readonly start: number;
	readonly length: number;
}

export interface BlockMean {
	readonly mean: Complex;
	/** Covariance of the mean of real and imaginary part: [re·re, re·im, im·im]. */
	readonly covariance: readonly [number, number, number];
	readonly blocks: number;
	readonly scatterFrom: 'blocks' | 'revolutions';
}

/**
 * Mean of a phasor over stretches of revolutions, in half-overlapping blocks of 30 or more, each weighted by a Hann
 * curve: a tone that is no multiple of the rotor speed is so suppressed far more than by a plain mean. Inside a stretch
 * the weights add up to the same everywhere; only its ends are tapered.
 *
 * The covariance of the mean comes from the scatter of the blocks, with the 1/6 correlation of neighbours that share half.
 * @param phasors one per revolution
 * @param stretches each of at least `blockRevolutions`
 */
export function blockMean(phasors: readonly Complex[], stretches: readonly Stretch[]): BlockMean {
	const blocks = stretches.flatMap((stretch) => blocksOf(phasors, stretch, layoutOf(stretch)));
	const weight = blocks.reduce((sum, block) => sum + block.weight, 0);
	const mean = blocks.reduce(
		(sum, block) => ({
			re: sum.re + (block.mean.re * block.weight) / weight,
			im: sum.im + (block.mean.im * block.weight) / weight,
		}),
		{ re: 0, im: 0 },
	);
	if (blocks.length < fewestBlocks) {
		return {
			mean,
			covariance: scatterOfRevolutions(phasors, stretches, mean),
			blocks: blocks.length,
			scatterFrom: 'revolutions',
		};
	}
	const spread = scatter(
		blocks.map((block) => block.mean),
		mean,
	);
	const count = blocks.length;
	const neighbours = blocks.filter((block, k) => k > 0 && blocks[k - 1]?.stretch === block.stretch).length;
	// variance of a mean of `count` with `neighbours` pairs at correlation 1/6, and the same pairs' pull on the sample variance
	const correlated = (2 * neighbours) / 6 / count;
	const share = (1 + correlated) / count / (1 - correlated / (count - 1));
	return {
		mean,
		covariance: [spread[0] * share, spread[1] * share, spread[2] * share],
		blocks: count,
		scatterFrom: 'blocks',
	};
}

interface Block {
	readonly mean: Complex;
	readonly weight: number;
	readonly stretch: Stretch;
}

interface BlockLayout {
	readonly count: number;
	/** Half the length of a block, in revolutions, so that the blocks fill the stretch exactly. */
	readonly hop: number;
}

function layoutOf(stretch: Stretch): BlockLayout {
	const count = Math.max(1, Math.floor((2 * stretch.length) / blockRevolutions) - 1);
	return { count, hop: stretch.length / (count + 1) };
}

function blocksOf(phasors: readonly Complex[], stretch: Stretch, { count, hop }: BlockLayout): Block[] {
	return Array.from({ length: count }, (_, block) => {
		let re = 0;
		let im = 0;
		let weight = 0;
		const start = block * hop;
		for (let k = Math.floor(start); k < Math.min(stretch.length, Math.ceil(start + 2 * hop)); k++) {
			const place = (k + 0.5 - start) / (2 * hop);
			if (place <= 0 || place >= 1) continue;
			const w = 0.5 - 0.5 * Math.cos(2 * Math.PI * place);
			const phasor = phasors[stretch.start + k] as Complex;
			re += w * phasor.re;
			im += w * phasor.im;
			weight += w;
		}
		return { mean: { re: re / weight, im: im / weight }, weight, stretch };
	});
}

/** Variance of the weighted mean if revolutions were independent: scatter · Σw²/(Σw)², with Σw = count·hop and Σw² = (count − ¼)·hop. */
function scatterOfRevolutions(
	phasors: readonly Complex[],
	stretches: readonly Stretch[],
	mean: Complex,
): readonly [number, number, number] {
	const spread = scatter(
		stretches.flatMap(({ start, length }) => phasors.slice(start, start + length)),
		mean,
	);
	const layouts = stretches.map(layoutOf);
	const weights = layouts.reduce((sum, { count, hop }) => sum + count * hop, 0);
	const share = layouts.reduce((sum, { count, hop }) => sum + (count - 0.25) * hop, 0) / weights ** 2;
	return [spread[0] * share, spread[1] * share, spread[2] * share];
}

/** Sample covariance [re·re, re·im, im·im], divisor n − 1. */
function scatter(values: readonly Complex[], mean: Complex): readonly [number, number, number] {
	let rr = 0;
	let ri = 0;
	let ii = 0;
	for (const { re, im } of values) {
		rr += (re - mean.re) ** 2;
		ri += (re - mean.re) * (im - mean.im);
		ii += (im - mean.im) ** 2;
	}
	const free = values.length - 1;
	return [rr / free, ri / free, ii / free];
}
