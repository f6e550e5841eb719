import type { RotorState } from '../fold/state.js';

/**
 * Settings of a rotor as they stood while flight `flight` was flown: what was last said on the ground before it.
 * Adjusters nobody has named are absent; the solver takes those as 0, as the contract says.
 * @returns settings by adjuster id, and the adjusters whose entries differ and are not agreed
 */
export function settingsBefore(
	rotor: RotorState | undefined,
	flight: number,
): { readonly settings: Readonly<Record<string, number>>; readonly differing: readonly string[] } {
	const settings: Record<string, number> = {};
	const differing: string[] = [];
	for (const [adjuster, history] of rotor?.history ?? []) {
		const last = history.filter(({ after }) => after < flight).at(-1);
		if (last === undefined) continue;
		if (last.value === null) differing.push(adjuster);
		else settings[adjuster] = last.value;
	}
	return { settings, differing };
}
