export { Assessor, assessTrace, type TraceFault } from './assess.js';
export type { RowCells } from './line-judge.js';
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
