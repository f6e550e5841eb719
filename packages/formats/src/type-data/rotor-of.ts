import type { RotorData, TypeData } from './schema.js';

/** The rotor of this id, or `undefined` when the type has none of that name. */
export function rotorOf(typeData: TypeData, rotorId: string): RotorData | undefined {
	return typeData.rotors.find((rotor) => rotor.id === rotorId);
}
