export {
	type BaselineAction,
	type BaselineJudgement,
	type BaselineRule,
	judgeBaseline,
	torqueRatio,
} from './baseline.js';
export { chartInputs, chartValue } from './chart.js';
export { type ChartSheet, chartSheets } from './chart-lines.js';
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
export {
	type CorrectedKind,
	type CorrectionExponents,
	corrected,
	correctedTemperatureC,
	correctionExponents,
	shaftPowerHp,
} from './corrected.js';
export { curveAt, type Interpolation, knotSlope } from './curve.js';
export {
	type HoldCondition,
	type HoldJudgement,
	type HoldObstacle,
	type HoldProblem,
	type HoldRule,
	type HoldTrace,
	judgeHold,
	type SteadyBand,
} from './hold.js';
export { type Margin, type MarginProblem, marginOf, type PowerVerdict, type ScatterShare } from './margin.js';
export { type Margins, marginsOf } from './margins.js';
export { normalCdf } from './normal.js';
export type { PowerReading, ReadingProblem } from './reading.js';
export { chartSlope } from './slope.js';
export { type ParameterSteadiness, slopeOf } from './steadiness.js';
export { type MaintenanceStep, maintenanceStep } from './step.js';
export { type MannKendall, mannKendall, type TheilSen, theilSen } from './theil-sen.js';
export type { TorqueMargin } from './torque-margin.js';
export { type Trend, type TrendPoint, type TrendProblem, trendOf } from './trend.js';
