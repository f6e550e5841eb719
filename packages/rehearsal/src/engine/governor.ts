import type { GovernorFigures } from '../type.js';

export interface GovernorState {
	/** Sum of the rotor speed's error, % s. */
	readonly integral: number;
	/** Gas-generator speed asked for, behind its lag, %. */
	readonly askedNgPct: number;
}

const integralMost = 12;

/**
 * Asks for the gas-generator speed that the collective will need, corrected by what the rotor speed lacks.
 * @param expectedNgPct speed for the power that this collective position takes at 100 % rotor speed
 * @param idleNgPct never asks below
 */
export function stepGovernor(
	figures: GovernorFigures,
	state: GovernorState,
	nrPct: number,
	expectedNgPct: number,
	idleNgPct: number,
	slowness: number,
	dtS: number,
): GovernorState {
	const missing = 100 - nrPct;
	const integral = Math.min(integralMost, Math.max(-integralMost, state.integral + missing * dtS));
	const anticipated = idleNgPct + figures.anticipation * (expectedNgPct - idleNgPct);
	const wanted = anticipated + figures.proportional * missing + figures.integralPerS * integral;
	const lag = figures.lagS * slowness;
	const askedNgPct = state.askedNgPct + ((Math.max(idleNgPct, wanted) - state.askedNgPct) * dtS) / lag;
	return { integral, askedNgPct };
}
