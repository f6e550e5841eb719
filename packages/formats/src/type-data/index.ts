export type { InstrumentData } from './instrument.js';
export { chartOf, readTypeData } from './read.js';
export { rotorOf } from './rotor-of.js';
export {
	type AutorotationData,
	type ConsumerData,
	type DependencyData,
	type DueItem,
	type HoldData,
	type LimitLineWords,
	type Provenance,
	type RotorData,
	type TransitionData,
	type TypeData,
	typeDataSchema,
} from './schema.js';
export { conventionOf, type InstrumentProblem, turnReading } from './turn-reading.js';
