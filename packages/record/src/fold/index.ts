export { fold } from './fold.js';
export { Folding, type FoldOptions } from './folding.js';
export { type HandoverSummary, readHandover } from './handover.js';
export { mayWriteNow } from './may-write-now.js';
export { isOpenQuestion, openQuestions } from './questions.js';
export { type AdjusterRule, bareRules, type FoldRules, rulesOf, rulesOfRecord } from './rules.js';
export type {
	ApartReason,
	FlightState,
	Judged,
	Judgement,
	LimitEvidence,
	MeasureAgain,
	Person,
	ReadingGroup,
	RecordState,
	RotorState,
	RunState,
	SettingState,
	Settled,
	VibrationGroup,
	Waiting,
	WaitsFor,
} from './state.js';
