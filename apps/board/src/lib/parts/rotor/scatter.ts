/** Covariance of a reading along (`xx`) and across (`yy`) phase zero, in its unit squared. */
export interface Covariance {
	readonly xx: number;
	readonly xy: number;
	readonly yy: number;
}

/** The 95 % ellipse of a reading: half axes in the reading's unit, and the angle of the long one. */
export interface ScatterEllipse {
	readonly long: number;
	readonly short: number;
	readonly longAngleDeg: number;
}

/** 95 % point of chi-square with two degrees of freedom: −2 ln 0.05, exact. */
export const chiSquare95 = -2 * Math.log(0.05);

/** Half axes and direction by the eigenvalues of the covariance. */
export function scatterEllipse(covariance: Covariance): ScatterEllipse {
	const mean = (covariance.xx + covariance.yy) / 2;
	const half = Math.hypot((covariance.xx - covariance.yy) / 2, covariance.xy);
	return {
		long: Math.sqrt(chiSquare95 * Math.max(0, mean + half)),
		short: Math.sqrt(chiSquare95 * Math.max(0, mean - half)),
		longAngleDeg: (Math.atan2(2 * covariance.xy, covariance.xx - covariance.yy) / 2) * (180 / Math.PI),
	};
}

/** True when the ellipse covers the still point: the phase then means nothing. */
export function coversMiddle(amplitude: number, phaseDeg: number, covariance: Covariance): boolean {
	const ellipse = scatterEllipse(covariance);
	if (ellipse.long === 0) return amplitude === 0;
	const angle = ((phaseDeg - ellipse.longAngleDeg) * Math.PI) / 180;
	const alongLong = amplitude * Math.cos(angle);
	const alongShort = amplitude * Math.sin(angle);
	if (ellipse.short === 0) return alongShort === 0 && Math.abs(alongLong) <= ellipse.long;
	return (alongLong / ellipse.long) ** 2 + (alongShort / ellipse.short) ** 2 <= 1;
}
