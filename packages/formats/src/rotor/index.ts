export { type RotorDocument, readRotor, rotorSchema } from './schema.js';
