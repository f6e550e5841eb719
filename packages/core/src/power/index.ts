export { chartInputs, chartValue } from './chart.js';
export type {
	AxisRange,
	ChainChart,
	Chart,
	ChartCurve,
	ChartProblem,
	ChartResult,
	ChartStage,
	GridChart,
	NestedNumbers,
	Quantities,
} from './chart-model.js';
export { curveAt, type Interpolation, knotSlope } from './curve.js';
export { type Margin, type MarginProblem, marginOf, type PowerVerdict, type ScatterShare } from './margin.js';
export { type Margins, marginsOf } from './margins.js';
export { normalCdf } from './normal.js';
export type { PowerReading, ReadingProblem } from './reading.js';
export { chartSlope } from './slope.js';
export type { TorqueMargin } from './torque-margin.js';
