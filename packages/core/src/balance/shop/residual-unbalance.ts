import { fail, ok, type Result } from '../../result/index.js';

/**
 * Balance quality grades e·ω of ISO 21940-11:2016, Table 1 (formerly ISO 1940-1), in mm/s, as read in a reproduction.
 * The table has no entry for a helicopter rotor: it is a shop figure for parts, never an aircraft limit.
 */
export const qualityGradesMmPerS: readonly number[] = [4000, 1600, 630, 250, 100, 40, 16, 6.3, 2.5, 1, 0.4];

export interface PermissibleUnbalance {
	/** Permissible eccentricity of the mass centre. */
	readonly eccentricityUm: number;
	/** Whole rotor. */
	readonly unbalanceGMm: number;
	/** Each of two planes, for a rotor whose mass centre lies midway between the bearings. */
	readonly perPlaneGMm: number;
}

export interface UnbalanceProblem {
	readonly code: 'not-positive';
	readonly found: number;
	readonly needed: number;
	readonly path: string;
}

/**
 * Permissible residual unbalance U = G·m/ω.
 * @param input grade in mm/s (any, not only the table's), rotor mass in kg, speed in rpm; all above zero
 * Source: ISO 21940-11:2016, the standard itself not opened.
 */
export function permissibleUnbalance(input: {
	readonly gradeMmPerS: number;
	readonly rotorMassKg: number;
	readonly rpm: number;
}): Result<PermissibleUnbalance, UnbalanceProblem> {
	const refused = firstNotPositive(input);
	if (refused) return refused;
	const eccentricityMm = input.gradeMmPerS / radPerS(input.rpm);
	const unbalanceGMm = eccentricityMm * input.rotorMassKg * 1000;
	return ok({ eccentricityUm: eccentricityMm * 1000, unbalanceGMm, perPlaneGMm: unbalanceGMm / 2 });
}

/** Centrifugal force of an unbalance in newton: U·ω². */
export function unbalanceForceN(unbalanceGMm: number, rpm: number): number {
	return unbalanceGMm * 1e-6 * radPerS(rpm) ** 2;
}

/**
 * Residual unbalance by MIL-STD-167-1A (type II), in oz·in of a rotor weight in lb: 0.177·W up to 150 rpm, 4000·W/N² to
 * 1000 rpm, 4·W/N above. The two lower bands are from memory; sources differ on whether it is per plane or total.
 * Problem `not-positive`.
 */
export function navyResidualOzIn(input: {
	readonly weightLb: number;
	readonly rpm: number;
}): Result<number, UnbalanceProblem> {
	const { weightLb, rpm } = input;
	const refused = firstNotPositive(input);
	if (refused) return refused;
	if (rpm <= 150) return ok(0.177 * weightLb);
	if (rpm <= 1000) return ok((4000 * weightLb) / rpm ** 2);
	return ok((4 * weightLb) / rpm);
}

/**
 * Residual unbalance per plane by the turbomachinery rule 4·W/N, with the static load on the journal in lb; oz·in.
 * Problem `not-positive`.
 */
export function journalResidualOzIn(input: {
	readonly journalLoadLb: number;
	readonly rpm: number;
}): Result<number, UnbalanceProblem> {
	return firstNotPositive(input) ?? ok((4 * input.journalLoadLb) / input.rpm);
}

function firstNotPositive(input: Readonly<Record<string, number>>) {
	for (const [name, value] of Object.entries(input)) {
		if (!(value > 0 && Number.isFinite(value)))
			return fail<UnbalanceProblem>({ code: 'not-positive', found: value, needed: 0, path: `$.${name}` });
	}
	return undefined;
}

function radPerS(rpm: number): number {
	return (rpm * 2 * Math.PI) / 60;
}
