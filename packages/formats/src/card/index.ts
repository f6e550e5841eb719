export { type Card, type CardField, type CardStep, cardSchema } from './schema.js';
