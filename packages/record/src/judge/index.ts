export { afterEarlier } from './after-earlier.js';
export { type AutorotationStanding, autorotationStanding } from './autorotation-standing.js';
export { cardFacts, cardModel } from './card-facts.js';
export { type ConsumerStanding, consumerStanding } from './consumer-standing.js';
export { type Due, dueItems } from './due-items.js';
export {
	type DoneStanding,
	type FieldStanding,
	fieldStanding,
	type NumberStanding,
	type TextStanding,
	type VibrationStanding,
} from './field-standing.js';
export {
	type ConditionQuantity,
	conditionField,
	conditionQuantities,
	type FlightCondition,
	flightConditions,
	flightCrew,
	flightFields,
	readCrew,
} from './flight-conditions.js';
export { type HoldStanding, holdStanding } from './hold-standing.js';
export { decidedVerdict, type LimitCase, type LineCase, limitCases, weighed } from './limit-cases.js';
export { lineSide } from './line-side.js';
export { holdRule, traceLimits } from './live-rules.js';
export { type OpenItem, openItems } from './open-items.js';
export { type ChartTrend, engineHoursSubject, type MarginPoint, powerTrends } from './power-trend.js';
export { type RampAttempt, type RampStanding, rampStanding, targetOf, type WatchedLine } from './ramp-standing.js';
export { type RotorJob, type RotorJobRun, rotorJob } from './rotor-job.js';
export { settingsBefore } from './settings-before.js';
export { newestFlight, type StepSaid, saidOfSteps, shortCardContext, shortCardOf } from './short-flight.js';
