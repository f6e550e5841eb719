import { cardSchema } from '../card/index.js';
import { chartSchema, powerReadingSchema } from '../chart/index.js';
import { feedLineSchema } from '../feed/index.js';
import { limitsSchema } from '../limits/index.js';
import { provenanceSchema } from '../provenance/index.js';
import { rehearsalSchema } from '../rehearsal/index.js';
import { rotorSchema } from '../rotor/index.js';
import { scenarioSchema } from '../scenario/index.js';
import { signalSetupSchema } from '../signals/index.js';
import { typeDataSchema } from '../type-data/index.js';

/** Every document whose JSON Schema is exported into docs/formats, by the name of its file there. */
export const documentSchemas = {
	card: cardSchema,
	chart: chartSchema,
	feed: feedLineSchema,
	limits: limitsSchema,
	'power-reading': powerReadingSchema,
	rehearsal: rehearsalSchema,
	provenance: provenanceSchema,
	rotor: rotorSchema,
	scenario: scenarioSchema,
	signals: signalSetupSchema,
	type: typeDataSchema,
} as const;
