export { wrap180, wrap360 } from './angle.js';
export { chiSquareUpper } from './chi-square.js';
export {
	add,
	type Complex,
	conjugate,
	degPerRad,
	divide,
	magnitude,
	multiply,
	negate,
	scale,
	subtract,
	zero,
} from './complex.js';
export { angleOfDeg, fromPolar, turnBy } from './polar.js';
export { riceCdf, riceFromMoments, riceMean, riceQuantile } from './rice.js';
