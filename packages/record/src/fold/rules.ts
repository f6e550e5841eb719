import type { Role } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';

/** What the fold takes from the card and the type's data. Plain data, so that every replica folds alike. */
export interface FoldRules {
	/** Roles whose signatures make the record signed. */
	readonly rolesAsked: readonly Role[];
	/** Where a reading does not state its own resolution. */
	readonly vibration: { readonly resolutionIps: number; readonly resolutionDeg: number; readonly noiseIps: number };
	/** Resolution of readings by subject, where the reading does not state its own. */
	readonly resolutions: Readonly<Record<string, number>>;
	/** By rotor and adjuster id. An adjuster not listed makes everything stale and asks for no inspection. */
	readonly adjusters: Readonly<Record<string, Readonly<Record<string, AdjusterRule>>>>;
}

export interface AdjusterRule {
	/** Results that a change here leaves alone: `tail`, `vibration/main/hover/lat` or the start of such a path. */
	readonly unaffected: readonly string[];
	readonly inspection: boolean;
}

/** Without type data: nothing is spared, the finest readings differ. */
export const bareRules: FoldRules = {
	rolesAsked: ['pilot', 'engineer'],
	// Common practice of hand-held instruments: two decimals of an ips, whole degrees.
	vibration: { resolutionIps: 0.01, resolutionDeg: 1, noiseIps: 0.02 },
	resolutions: {},
	adjusters: {},
};

/** The part of the type's data that the fold goes by. */
export function rulesOf(typeData: Pick<TypeData, 'rotors' | 'dependencies'>, rolesAsked?: readonly Role[]): FoldRules {
	const adjusters: Record<string, Record<string, AdjusterRule>> = {};
	for (const rotor of typeData.rotors) {
		const rules: Record<string, AdjusterRule> = {};
		for (const { id, kind, inspection } of rotor.adjusters) {
			const unaffected = typeData.dependencies.filter(({ change }) => change === kind).flatMap((d) => d.unaffected);
			rules[id] = { unaffected, inspection: inspection ?? false };
		}
		adjusters[rotor.id] = rules;
	}
	return { ...bareRules, adjusters, rolesAsked: rolesAsked ?? bareRules.rolesAsked };
}
