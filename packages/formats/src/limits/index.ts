export { type LimitLine, type LimitParameter, type LimitsDocument, limitsSchema, readLimits } from './schema.js';
