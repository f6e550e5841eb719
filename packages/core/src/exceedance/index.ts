export { Assessor, assessTrace, type TraceFault } from './assess.js';
export {
	type Adjudication,
	adjudicate,
	type Contradiction,
	type Decision,
	type DecisionFault,
	type Evidence,
	type MemoryEvidence,
	type Narrowing,
	type OpenRange,
	type TraceEvidence,
	type WitnessEvidence,
} from './evidence.js';
export { type Governing, governingOf } from './governing.js';
export type { RowCells } from './line-judge.js';
export { LiveLimits, type LiveLine, type LiveState } from './live.js';
export {
	type Assumption,
	type BoundTable,
	defaultShortestS,
	type Episode,
	type Findings,
	type LimitedParameter,
	type Limits,
	type Line,
	type LineCondition,
	type LineTotals,
	type Range,
	type Unseen,
} from './model.js';
