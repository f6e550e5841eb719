import {
	type BorderProblem,
	type Convention,
	type InnerReading,
	type StatedReading,
	toInner,
} from '@stillmast/core/conventions';
import { fail, type Result } from '@stillmast/core/result';
import type { InstrumentData } from './instrument.js';
import { rotorOf } from './rotor-of.js';
import type { TypeData } from './schema.js';

export interface InstrumentProblem {
	readonly code: 'unknown-instrument' | 'unknown-rotor' | BorderProblem['code'];
	readonly found: string | number;
	readonly needed: string;
	readonly path: string;
}

/** The convention of an instrument as core takes it. */
export function conventionOf({ convention }: InstrumentData): Convention {
	const { unit, reckoning, phase, pulsePassAngleDeg = 0, polarity = 1 } = convention;
	return { scale: { unit, reckoning }, phase, pulsePassAngleDeg, polarity };
}

/**
 * What an instrument showed, turned at the border into the product's own form (docs/rules/signals.md SIG-1 to SIG-5).
 * @param stated level in the instrument's unit; phase in its sense, degrees, or null where none was read
 * Problems: `unknown-instrument`, `unknown-rotor`, and those of core's border (`not-a-level`, `not-a-phase`).
 */
export function turnReading(
	typeData: TypeData,
	instrumentId: string,
	rotorId: string,
	stated: StatedReading,
): Result<InnerReading, InstrumentProblem> {
	const found = typeData.instruments?.find((one) => one.id === instrumentId);
	if (found === undefined) {
		const known = (typeData.instruments ?? []).map((one) => one.id);
		const needed = known.length === 0 ? 'an instrument of the type data; none is stated' : `one of ${known.join(', ')}`;
		return fail({ code: 'unknown-instrument', found: instrumentId, needed, path: '$.instrument' });
	}
	const rotor = rotorOf(typeData, rotorId);
	if (rotor === undefined) {
		const needed = `one of ${typeData.rotors.map((one) => one.id).join(', ')}`;
		return fail({ code: 'unknown-rotor', found: rotorId, needed, path: '$.rotor' });
	}
	return toInner(stated, conventionOf(found), rotor.rpm);
}
