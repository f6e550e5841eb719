import { airRatios, type Conditions, calmDay } from './conditions.js';
import { type EngineState, ngForPowerPct, shaftPowerW, stepEngine } from './engine/gas-generator.js';
import { type GovernorState, stepGovernor } from './engine/governor.js';
import { rotorTorqueNm } from './rotor/rotor-load.js';
import type { SimulatedType } from './type.js';

/**
 * The simulated helicopter at one moment. A fixed-step model: the same type, conditions and lever give the same numbers
 * in the same order, whatever else the machine does. It is not a training device with credit.
 */
export interface HelicopterState {
	readonly timeS: number;
	readonly collectivePct: number;
	readonly nrPct: number;
	/** Of the engine, in per cent of rated torque. */
	readonly torquePct: number;
	readonly engine: EngineState;
	readonly governor: GovernorState;
}

/** Fixed step, s: ten times finer than the fastest lag in the model. */
export const stepS = 0.005;

export function ratedTorqueNm({ engine, rotor }: SimulatedType): number {
	return (engine.ratedKw * 1000) / rotor.omega100;
}

/** Running and steady at a collective position: stepped until nothing moves any more. */
export function settledAt(
	type: SimulatedType,
	collectivePct: number,
	conditions: Conditions = calmDay,
): HelicopterState {
	const ng = ngForPowerPct(
		type.engine,
		powerNeededW(type, collectivePct, 100, conditions),
		airRatios(conditions),
		conditions,
	);
	let state: HelicopterState = {
		timeS: 0,
		collectivePct,
		nrPct: 100,
		torquePct: 0,
		engine: { ngPct: ng, gasC: type.engine.idleTotC, totC: type.engine.idleTotC, flame: 'lit' },
		governor: { integral: 0, askedNgPct: ng },
	};
	for (let n = 0; n < settleS / stepS; n += 1) state = stepHelicopter(type, state, collectivePct, conditions);
	return { ...state, timeS: 0 };
}

const settleS = 40;

/**
 * One step of the whole machine.
 * @param collectivePct lever, 0 down to 100 up
 * @param dtS step; `stepS` unless the step itself is under test
 */
export function stepHelicopter(
	type: SimulatedType,
	state: HelicopterState,
	collectivePct: number,
	conditions: Conditions,
	dtS = stepS,
): HelicopterState {
	const air = airRatios(conditions);
	const ratedNm = ratedTorqueNm(type);
	const expected = ngForPowerPct(type.engine, powerNeededW(type, collectivePct, 100, conditions), air, conditions);
	const governor = stepGovernor(
		type.governor,
		state.governor,
		state.nrPct,
		expected,
		type.engine.idleNgPct,
		conditions.governorSlowness,
		dtS,
	);
	const askedExcess = type.governor.fuelPerNgPct * (governor.askedNgPct - state.engine.ngPct);
	const engine = stepEngine(type.engine, state.engine, askedExcess, air, conditions, dtS);
	const omega = (type.rotor.omega100 * state.nrPct) / 100;
	const taken = rotorTorqueNm(type.rotor, ratedNm, collectivePct, state.nrPct, conditions.iasKt, air);
	// the freewheel lets the rotor turn faster than the engine drives it, never the other way round
	const given = shaftPowerW(type.engine, engine, air, conditions) / Math.max(1, omega);
	const nrPct = state.nrPct + (((given - taken) / type.rotor.inertiaKgM2) * dtS * 100) / type.rotor.omega100;
	return {
		timeS: state.timeS + dtS,
		collectivePct,
		nrPct: Math.max(0, nrPct),
		torquePct: (100 * given) / ratedNm,
		engine,
		governor,
	};
}

function powerNeededW(type: SimulatedType, collectivePct: number, nrPct: number, conditions: Conditions): number {
	const torque = rotorTorqueNm(
		type.rotor,
		ratedTorqueNm(type),
		collectivePct,
		nrPct,
		conditions.iasKt,
		airRatios(conditions),
	);
	return torque * ((type.rotor.omega100 * nrPct) / 100);
}
