export { independentInspection, type RotorDocument, readRotor, rotorSchema } from './schema.js';
