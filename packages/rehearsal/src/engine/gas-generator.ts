import type { AirRatios, Conditions } from '../conditions.js';
import type { EngineFigures } from '../type.js';

/** The engine's own state. */
export interface EngineState {
	readonly ngPct: number;
	/** Temperature of the gas and of the thermocouple that shows it, °C. */
	readonly gasC: number;
	readonly totC: number;
	/** `surged` and `out` do not end by themselves. */
	readonly flame: 'lit' | 'surged' | 'out';
}

/** Wear takes power at a given speed and adds temperature; both invented, in the order of a power-assurance margin. */
const wearPowerShare = 0.08;
const wearTotC = 45;
const surgePowerShare = 0.35;

/** Shaft power at a gas-generator speed, W: rises with the square of the speed above idle, falls with δ√θ. */
export function shaftPowerW(
	figures: EngineFigures,
	engine: EngineState,
	air: AirRatios,
	conditions: Conditions,
): number {
	if (engine.flame === 'out') return 0;
	const share = Math.max(0, correctedShare(figures, engine.ngPct, air));
	const wear = 1 - wearPowerShare * conditions.wear;
	const bleed = figures.bleedPowerShare * conditions.bleed;
	const surge = engine.flame === 'surged' ? surgePowerShare : 1;
	const lapse = air.delta * Math.sqrt(air.theta);
	return figures.ratedKw * 1000 * Math.max(0, share ** 2 * wear - bleed) * lapse * surge;
}

/** Gas-generator speed that gives this shaft power, %; the inverse of `shaftPowerW` on a lit engine. */
export function ngForPowerPct(figures: EngineFigures, powerW: number, air: AirRatios, conditions: Conditions): number {
	const lapse = air.delta * Math.sqrt(air.theta);
	const bleed = figures.bleedPowerShare * conditions.bleed;
	const wear = 1 - wearPowerShare * conditions.wear;
	const share = Math.sqrt(Math.max(0, (Math.max(0, powerW) / (figures.ratedKw * 1000 * lapse) + bleed) / wear));
	return (figures.idleNgPct + share * (100 - figures.idleNgPct)) * Math.sqrt(air.theta);
}

/**
 * One step of the gas generator. The governor asks for a speed through fuel; the schedules bound the excess fuel, so
 * that a sound engine neither surges nor flames out however fast the lever moves.
 */
export function stepEngine(
	figures: EngineFigures,
	engine: EngineState,
	askedExcess: number,
	air: AirRatios,
	conditions: Conditions,
	dtS: number,
): EngineState {
	const scheduled = Math.min(figures.accelExcess, Math.max(figures.decelExcess, askedExcess));
	const flame = flameAfter(figures, engine, scheduled);
	const excess = flame === 'lit' ? scheduled : figures.decelExcess;
	// a spool gathers speed in proportion to the excess fuel, and to the air that carries it
	const ngPct = Math.max(
		flame === 'out' ? 0 : figures.idleNgPct * 0.98,
		engine.ngPct + figures.ngRate * excess * air.delta * dtS,
	);
	const share = correctedShare(figures, ngPct, air);
	const steadyC =
		(figures.idleTotC + share * (figures.ratedTotC - figures.idleTotC)) * air.theta +
		wearTotC * conditions.wear * Math.max(0, share) +
		figures.bleedTotC * conditions.bleed;
	const gasC = flame === 'out' ? conditions.oatC : steadyC + figures.excessTotC * Math.max(0, excess);
	const totC = engine.totC + ((gasC - engine.totC) * dtS) / figures.totLagS;
	return { ngPct, gasC, totC, flame };
}

function flameAfter(figures: EngineFigures, { flame }: EngineState, excess: number): EngineState['flame'] {
	if (flame !== 'lit') return flame;
	if (excess >= figures.surgeExcess) return 'surged';
	return excess <= figures.flameOutExcess ? 'out' : 'lit';
}

/** 0 at idle to 1 at rated, in corrected speed. */
function correctedShare(figures: EngineFigures, ngPct: number, air: AirRatios): number {
	return (ngPct / Math.sqrt(air.theta) - figures.idleNgPct) / (100 - figures.idleNgPct);
}
