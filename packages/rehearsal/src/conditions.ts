import { airAt, type StandardAir } from '@stillmast/core/air';

/** What the day, the engine and the instructor make of it. May change at any step. */
export interface Conditions {
	readonly iasKt: number;
	readonly pressureAltitudeFt: number;
	readonly oatC: number;
	/** 0 no consumer on, 1 all on. */
	readonly bleed: number;
	/** 0 new; 1 worn to its limit: less power for the same speed, hotter. */
	readonly wear: number;
	/** Factor on the governor's lag; 1 sound. */
	readonly governorSlowness: number;
}

export const calmDay: Conditions = {
	iasKt: 0,
	pressureAltitudeFt: 0,
	oatC: 15,
	bleed: 0,
	wear: 0,
	governorSlowness: 1,
};

/** Ratios to a standard day at sea level: pressure δ, absolute temperature θ, density σ. */
export type AirRatios = Pick<StandardAir, 'delta' | 'theta' | 'sigma'>;

/** The air of these conditions. Throws outside the standard atmosphere: conditions are set by the scenario. */
export function airRatios({ pressureAltitudeFt, oatC }: Conditions): AirRatios {
	const air = airAt(pressureAltitudeFt, oatC);
	if (!air.ok) throw new RangeError(`${air.problem.code}: ${pressureAltitudeFt} ft, ${oatC} °C`);
	return air.value;
}
