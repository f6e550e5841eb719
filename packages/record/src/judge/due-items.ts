import { type DueItem, rotorOf, type TypeData } from '@stillmast/formats/type-data';
import type { RecordState, SettingState } from '../fold/state.js';

/** Something due after the check: what the type's data ask for, and the work that makes it so. */
export interface Due {
	readonly due: DueItem;
	/** Adjusters changed in this check, as `<rotor>/<adjuster>`; empty when it is due after every check. */
	readonly because: readonly string[];
	/** Flight after which the newest of those changes was made; null when it is due after every check. */
	readonly sinceFlight: number | null;
}

/** Torque checks and other items that the type's data make due by what was changed in this check. @rule JDG-12 */
export function dueItems(state: RecordState, typeData: TypeData): readonly Due[] {
	const changes = changesOf(state, typeData);
	return (typeData.due ?? []).flatMap((due): Due[] => {
		if (due.change === undefined) return [{ due, because: [], sinceFlight: null }];
		const own = changes.filter(({ kind }) => kind === due.change);
		if (own.length === 0) return [];
		return [{ due, because: own.map(({ name }) => name), sinceFlight: Math.max(...own.map(({ after }) => after)) }];
	});
}

interface KindChange {
	readonly name: string;
	readonly kind: string;
	readonly after: number;
}

/** Adjusters that stand otherwise than they were found, or whose entries differ. */
function changesOf(state: RecordState, typeData: TypeData): readonly KindChange[] {
	return [...state.rotors].flatMap(([rotorId, { history }]) =>
		[...history].flatMap(([adjuster, settings]): KindChange[] => {
			const kind = rotorOf(typeData, rotorId)?.adjusters.find(({ id }) => id === adjuster)?.kind;
			const changed = settings.filter(isChange);
			const last = changed.at(-1);
			return kind === undefined || last === undefined
				? []
				: [{ name: `${rotorId}/${adjuster}`, kind, after: last.after }];
		}),
	);
}

/** The first that is said of an adjuster is a change only when it was made, not when it was found. */
function isChange({ value, measured }: SettingState, at: number, settings: readonly SettingState[]): boolean {
	const before = settings[at - 1];
	return before === undefined ? !measured : value === null || value !== before.value;
}
