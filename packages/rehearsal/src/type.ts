/**
 * A simulated helicopter's figures. All invented for the Ouzel 3; what each is plausible against stands beside it. They
 * belong to no real type and teach no numbers.
 */
export interface SimulatedType {
	readonly engine: EngineFigures;
	readonly rotor: RotorFigures;
	readonly governor: GovernorFigures;
}

export interface EngineFigures {
	/** Shaft power at 100 % gas-generator speed, sea level, 15 °C. */
	readonly ratedKw: number;
	/** Gas-generator speed at which shaft power vanishes, %. */
	readonly idleNgPct: number;
	/** Gas-generator speed per second and per unit of excess fuel ratio, %/s. */
	readonly ngRate: number;
	/** Excess fuel over the steady fuel of this speed that the acceleration schedule lets through, as a ratio. */
	readonly accelExcess: number;
	/** Fuel below the steady fuel that the deceleration schedule goes down to, as a ratio (negative). */
	readonly decelExcess: number;
	/** Excess ratio at which the compressor surges; above the schedule with margin on a sound engine. */
	readonly surgeExcess: number;
	/** Excess ratio (negative) at which the flame goes out. */
	readonly flameOutExcess: number;
	/** Turbine temperature at rated power on a 15 °C day, °C. */
	readonly ratedTotC: number;
	/** Turbine temperature at `idleNgPct`, °C. */
	readonly idleTotC: number;
	/** Turbine temperature added per unit of excess fuel ratio, °C. */
	readonly excessTotC: number;
	/** Thermocouple lag, s. */
	readonly totLagS: number;
	/** Share of shaft power that bleed takes when every consumer is on. */
	readonly bleedPowerShare: number;
	/** Turbine temperature added by it at constant gas-generator speed, °C. */
	readonly bleedTotC: number;
}

export interface RotorFigures {
	/** Rotor speed at 100 %, rad/s. */
	readonly omega100: number;
	/** Of everything that turns with the main rotor, referred to it, kg m². */
	readonly inertiaKgM2: number;
	/** Share of rated torque that the blades take at flat pitch, 100 % rotor speed and sea level. */
	readonly flatPitchTorque: number;
	/** Share of rated torque added at full collective in the hover. */
	readonly collectiveTorque: number;
	/** Share of the collective's torque left at `bestIasKt`. */
	readonly bestSpeedShare: number;
	readonly bestIasKt: number;
}

export interface GovernorFigures {
	/** Gas-generator demand per per cent of rotor speed missing, %. */
	readonly proportional: number;
	/** Same, per second. */
	readonly integralPerS: number;
	/** Share of the power a collective position will need that is asked for as the lever moves. */
	readonly anticipation: number;
	/** Lag of the fuel control, s; a slow governor has more. */
	readonly lagS: number;
	/** Fuel excess ratio asked per per cent of gas-generator speed missing. */
	readonly fuelPerNgPct: number;
}

/** Invented. Idle to 95 % power inside 5 s as 14 CFR 33.73 asks of engines (from memory); see the plausibility tests. */
export const ouzel3: SimulatedType = {
	engine: {
		ratedKw: 620,
		idleNgPct: 62,
		ngRate: 26,
		accelExcess: 0.42,
		decelExcess: -0.38,
		surgeExcess: 0.62,
		flameOutExcess: -0.6,
		ratedTotC: 735,
		idleTotC: 430,
		excessTotC: 150,
		totLagS: 0.7,
		bleedPowerShare: 0.04,
		bleedTotC: 18,
	},
	rotor: {
		omega100: (390 * 2 * Math.PI) / 60,
		inertiaKgM2: 1900,
		flatPitchTorque: 0.22,
		collectiveTorque: 0.86,
		bestSpeedShare: 0.55,
		bestIasKt: 65,
	},
	governor: { proportional: 2.2, integralPerS: 1.1, anticipation: 0.85, lagS: 0.08, fuelPerNgPct: 0.09 },
};
