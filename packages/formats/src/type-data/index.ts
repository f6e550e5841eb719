export { rotorOf } from './rotor-of.js';
export {
	type ConsumerData,
	type DependencyData,
	type Provenance,
	type RotorData,
	type TypeData,
	typeDataSchema,
} from './schema.js';
