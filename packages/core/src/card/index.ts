export { type CrewFact, crewFacts } from './crew-facts.js';
export { evaluateCard } from './evaluate-card.js';
export { checkLevel } from './level.js';
export type {
	BlockReason,
	CardFacts,
	CardStanding,
	CardStepModel,
	CheckLevel,
	EntryCondition,
	Procedure,
	StepStanding,
	StopReading,
} from './model.js';
