export { type PlacedNumber, placedNumbers, placeOf } from './places.js';
export { isSamePerson, notCompared, readProvenance, type SourcedDocuments } from './read.js';
export { type NumberSource, type ProvenanceDocument, provenanceSchema } from './schema.js';
