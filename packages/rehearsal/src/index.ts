export { type AttemptFault, type AttemptJudgement, judgeAttempt } from './attempt/judge-attempt.js';
export { LookAhead } from './attempt/look-ahead.js';
export { type AttemptSetting, type FlownTrace, type Panel, RampAttempt } from './attempt/ramp-attempt.js';
export { type RampTimes, rampTimes } from './attempt/ramp-times.js';
export {
	type GaugeName,
	gaugeNames,
	ouzel3Gauges,
	ouzel3Limits,
	ouzel3Ramp,
	type RampLimits,
	type RampTask,
} from './attempt/task.js';
export { noTrouble, type Trouble } from './attempt/trouble.js';
export { type RehearsedCheck, rehearseCheck } from './check/rehearse-check.js';
export { rehearsedRun } from './check/rehearsed-run.js';
export { type AirRatios, airRatios, type Conditions, calmDay } from './conditions.js';
export { type EngineState, ngForPowerPct, shaftPowerW } from './engine/gas-generator.js';
export { Gauge, type GaugeFigures, type GaugeSample } from './gauges/gauge.js';
export { type HelicopterState, ratedTorqueNm, settledAt, stepHelicopter, stepS } from './helicopter.js';
export { drawPilot, flyAttempt, type Pilot } from './pilot/pilot.js';
export { type LeverMove, leverAtPct } from './pilot/scripted-lever.js';
export { type Draw, normal, seededDraw } from './random.js';
export { type RehearsedAttempt, type RehearseSettings, rehearse } from './rehearse.js';
export {
	HiddenRotor,
	type RotorReadingIps,
	type TailSpread,
	usualTail,
	type VibrationTable,
} from './rotor/hidden-fault.js';
export { rotorTorqueNm } from './rotor/rotor-load.js';
export { type EngineFigures, type GovernorFigures, ouzel3, type RotorFigures, type SimulatedType } from './type.js';
