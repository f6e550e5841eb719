export interface ParameterSteadiness {
	readonly id: string;
	/** Largest less smallest. */
	readonly span: number;
	/** Of the least-squares line. */
	readonly slopePerMinute: number;
	readonly spanOk: boolean;
	readonly slopeOk: boolean;
}

/** How steady a parameter stood over a window, against its band. Exactly on the band is steady. */
export function steadinessOf(
	band: { readonly id: string; readonly spanAtMost: number; readonly slopePerMinuteAtMost: number },
	timesS: readonly number[],
	values: readonly number[],
): ParameterSteadiness {
	const span = Math.max(...values) - Math.min(...values);
	const slopePerMinute = 60 * slopeOf(timesS, values);
	return {
		id: band.id,
		span,
		slopePerMinute,
		spanOk: span <= band.spanAtMost,
		slopeOk: Math.abs(slopePerMinute) <= band.slopePerMinuteAtMost,
	};
}

/** Slope of the least-squares line, about the means so that clock times of any size keep their digits. */
export function slopeOf(xs: readonly number[], ys: readonly number[]): number {
	const [meanX, meanY] = [xs, ys].map((list) => list.reduce((sum, value) => sum + value, 0) / list.length) as [
		number,
		number,
	];
	let [products, squares] = [0, 0];
	for (const [at, x] of xs.entries()) {
		products += (x - meanX) * ((ys[at] ?? 0) - meanY);
		squares += (x - meanX) ** 2;
	}
	return squares > 0 ? products / squares : 0;
}
