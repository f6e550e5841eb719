export { type BorderProblem, fromInner, toInner } from './border.js';
export { type ClockProblem, clockToDeg } from './clock.js';
export {
	type Convention,
	type InnerReading,
	innerConvention,
	type PhaseSense,
	type StatedReading,
} from './convention.js';
export { hubAngleOf, passAngleOf, type Turning } from './hub-angle.js';
