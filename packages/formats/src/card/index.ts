export { cardFaults } from './against-type.js';
export {
	type ConsumerPart,
	consumerParts,
	type FieldSubject,
	fieldSubjects,
	type InstrumentData,
	textSubject,
} from './field-subjects.js';
export { type Card, type CardField, type CardFieldOf, type CardStep, cardSchema } from './schema.js';
