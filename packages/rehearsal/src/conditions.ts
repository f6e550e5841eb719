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
export interface AirRatios {
	readonly delta: number;
	readonly theta: number;
	readonly sigma: number;
}

/** Standard atmosphere below 36 089 ft (ICAO Doc 7488): δ from pressure altitude, θ from the air's own temperature. */
export function airRatios({ pressureAltitudeFt, oatC }: Conditions): AirRatios {
	const delta = (1 - (0.0065 * pressureAltitudeFt * 0.3048) / 288.15) ** 5.25588;
	const theta = (oatC + 273.15) / 288.15;
	return { delta, theta, sigma: delta / theta };
}
