import { type Card, cardSchema, fieldSubjects, type InstrumentData } from '@stillmast/formats/card';
import type { Role } from '@stillmast/formats/entry';
import { readJson } from '@stillmast/formats/json';
import { readAs } from '@stillmast/formats/problem';
import { type TypeData, typeDataSchema } from '@stillmast/formats/type-data';
import type { EntrySet } from '../set/entry-set.js';

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

/** The part of the type's data and of the card that the fold goes by; what is missing is as in `bareRules`. */
export function rulesOf(
	typeData: (Pick<TypeData, 'rotors' | 'dependencies'> & Partial<InstrumentData>) | null,
	card: Pick<Card, 'signedBy' | 'steps'> | null,
): FoldRules {
	const resolutions: Record<string, number> = {};
	const instruments = { consumers: [], ...typeData };
	for (const field of (card?.steps ?? []).flatMap(({ fields }) => fields)) {
		for (const { subject, resolution } of fieldSubjects(field, instruments)) {
			if (resolution !== null) resolutions[subject] = resolution;
		}
	}
	return {
		...bareRules,
		rolesAsked: card?.signedBy ?? bareRules.rolesAsked,
		resolutions,
		adjusters: adjustersOf(typeData),
	};
}

function adjustersOf(typeData: Pick<TypeData, 'rotors' | 'dependencies'> | null): FoldRules['adjusters'] {
	const adjusters: Record<string, Record<string, AdjusterRule>> = {};
	for (const rotor of typeData?.rotors ?? []) {
		const rules: Record<string, AdjusterRule> = {};
		for (const { id, kind, inspection } of rotor.adjusters) {
			const spared = typeData?.dependencies.filter(({ change }) => change === kind) ?? [];
			rules[id] = { unaffected: spared.flatMap((one) => one.unaffected), inspection: inspection ?? false };
		}
		adjusters[rotor.id] = rules;
	}
	return adjusters;
}

/**
 * Rules of a record by the card and type data that it was opened with.
 * @param blob gives a blob's bytes, or undefined where it is not here; what is not here, or not such a document, is
 * left out, so that a record can always be shown
 */
export function rulesOfRecord(set: EntrySet, blob: (hash: string) => Uint8Array | undefined): FoldRules {
	const opened = set.get(set.record);
	const json = (hash: unknown): unknown => {
		const bytes = typeof hash === 'string' ? blob(hash) : undefined;
		const read = bytes === undefined ? null : readJson(new TextDecoder().decode(bytes));
		return read?.ok ? read.value : null;
	};
	const typeData = readAs(typeDataSchema, json(opened?.typeData));
	const card = readAs(cardSchema, json(opened?.card));
	return rulesOf(typeData.ok ? typeData.value : null, card.ok ? card.value : null);
}
