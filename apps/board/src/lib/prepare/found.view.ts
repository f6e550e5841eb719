import type { RotorData, TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { adjusterLabel, settingText } from '$lib/check/settings.view.js';
import { readNumber } from '$lib/words/number.js';

/** One adjuster as it was last written down, to be looked at on the aircraft. */
export interface FoundLine {
	readonly id: string;
	readonly rotor: string;
	readonly label: string;
	/** "2 plates"; null when the earlier check does not say, or says two things. */
	readonly last: string | null;
	/** What stands in the box at first. */
	readonly typed: string;
}

/** What somebody has said of the lines so far, by rotor and adjuster. */
export interface FoundDraft {
	readonly typed: Readonly<Record<string, string>>;
	readonly seen: Readonly<Record<string, boolean>>;
}

/** Rotors of which this check says nothing yet. */
export function unwrittenRotors(state: RecordState, typeData: TypeData): readonly RotorData[] {
	return typeData.rotors.filter(({ id }) => (state.rotors.get(id)?.settings.size ?? 0) === 0);
}

/** Every adjuster of those rotors with its last setting; one whose step or unit has changed since says nothing. */
export function foundLines(
	state: RecordState,
	typeData: TypeData,
	earlier: { readonly state: RecordState; readonly typeData: TypeData },
): FoundLine[] {
	return unwrittenRotors(state, typeData).flatMap((rotor) => {
		const before = earlier.typeData.rotors.find(({ id }) => id === rotor.id);
		return rotor.adjusters.map((adjuster) => {
			const same = before?.adjusters.find(({ id, unit }) => id === adjuster.id && unit === adjuster.unit);
			const last =
				same === undefined ? null : (earlier.state.rotors.get(rotor.id)?.settings.get(adjuster.id)?.value ?? null);
			return {
				id: `${rotor.id}/${adjuster.id}`,
				rotor: rotor.id,
				label: adjusterLabel(adjuster),
				last: last === null ? null : settingText(adjuster, last),
				typed: last === null ? '' : String(last),
			};
		});
	});
}

export type FoundRead =
	| { readonly state: 'ready'; readonly settings: ReadonlyMap<string, Readonly<Record<string, number>>> }
	/** Lines nobody has looked at yet. */
	| { readonly state: 'to-look'; readonly count: number }
	| { readonly state: 'wrong'; readonly label: string; readonly low: number; readonly high: number };

/** The settings by rotor, once every line was looked at and every number is one the type allows. @rule CRD-12 */
export function readFound(lines: readonly FoundLine[], draft: FoundDraft, typeData: TypeData): FoundRead {
	const count = lines.filter(({ id }) => draft.seen[id] !== true).length;
	if (count > 0) return { state: 'to-look', count };
	const settings = new Map<string, Record<string, number>>();
	for (const { id, rotor, label, typed } of lines) {
		const adjuster = typeData.rotors
			.find((one) => one.id === rotor)
			?.adjusters.find((one) => `${rotor}/${one.id}` === id);
		if (adjuster === undefined) continue;
		const { min: low, max: high } = adjuster;
		const value = readNumber(draft.typed[id] ?? typed);
		if (value === null || value < low || value > high) return { state: 'wrong', label, low, high };
		settings.set(rotor, { ...settings.get(rotor), [adjuster.id]: value });
	}
	return { state: 'ready', settings };
}
