export { lowerTriangle } from './cholesky.js';
export { type ComplexFit, complexLeastSquares } from './complex-least-squares.js';
export {
	backSubstitute,
	forwardSubstitute,
	type Matrix,
	matrixFrom,
	reduceToTriangle,
	type Triangle,
} from './householder.js';
export { type LeastSquaresFit, type LeastSquaresProblem, leastSquares } from './least-squares.js';
export { squareRootRows } from './square-root.js';
export { meansOf, priorEstimate, type SquareRootEstimate, takeIn, variancesOf } from './square-root-update.js';
export { triangularise } from './triangularise.js';
