export { type AirRatios, airRatios, type Conditions, calmDay } from './conditions.js';
export { type EngineState, ngForPowerPct, shaftPowerW } from './engine/gas-generator.js';
export { Gauge, type GaugeFigures, type GaugeSample } from './gauges/gauge.js';
export { type HelicopterState, ratedTorqueNm, settledAt, stepHelicopter, stepS } from './helicopter.js';
export { type LeverMove, leverAtPct } from './pilot/scripted-lever.js';
export { type Draw, normal, seededDraw } from './random.js';
export {
	HiddenRotor,
	type RotorReadingIps,
	type TailSpread,
	usualTail,
	type VibrationTable,
} from './rotor/hidden-fault.js';
export { rotorTorqueNm } from './rotor/rotor-load.js';
export { type EngineFigures, type GovernorFigures, ouzel3, type RotorFigures, type SimulatedType } from './type.js';
