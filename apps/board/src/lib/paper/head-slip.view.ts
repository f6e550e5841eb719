import type { RotorData } from '@stillmast/formats/type-data';
import type { RotorState } from '@stillmast/record';
import { adjusterLabel, settingsNow, settingText } from '$lib/check/settings.view.js';
import { along, type Place, type TurningSense, towards } from '$lib/parts/rotor/polar.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { paper } from '$lib/words/paper.js';

/** The slip taken to the rotor head: what is on it, what is to be done, drawn at the spokes. */
export interface HeadSlip {
	readonly rotor: string;
	readonly turns: TurningSense;
	readonly spokes: readonly SlipSpoke[];
	/** "Blade D plates: 0 plates to 5 plates". */
	readonly changes: readonly string[];
}

export interface SlipSpoke {
	readonly id: string;
	readonly letter: string;
	/** The name painted on the aircraft. */
	readonly paint: string | null;
	readonly end: Place;
	readonly textPlace: Place;
	/** What stands there now, one line per adjuster. */
	readonly before: readonly string[];
	/** What to do there: "add 5", or what stays. */
	readonly after: readonly { readonly text: string; readonly isChange: boolean }[];
}

/** Half the side of the drawing, in its own units. */
export const slipHalf = 100;
const spokeEnd = 52;
const textAt = 76;

/** `null` when nothing is planned on this rotor. */
export function headSlip(rotor: RotorData, state: RotorState | undefined): HeadSlip | null {
	const now = settingsNow(rotor, state);
	const planned = new Map(
		[...(state?.planned ?? [])].flatMap(([id, { value }]) => (value === null ? [] : [[id, value]])),
	);
	const changed = rotor.adjusters.filter(({ id }) => planned.has(id) && planned.get(id) !== now[id]);
	if (changed.length === 0) return null;
	const turns = rotor.turns === 'clockwise' ? 'clockwise' : 'anticlockwise';
	const places = [
		...rotor.blades.map(({ id, passAngleDeg, paint }) => ({ id, passAngleDeg, paint: paint ?? null })),
		...rotor.adjusters
			.filter(({ blade }) => blade === null)
			.map(({ id, passAngleDeg }) => ({ id, passAngleDeg, paint: null })),
	];
	return {
		rotor: rotor.name,
		turns,
		changes: changed.map((adjuster) =>
			fill(paper.slipChange, {
				what: adjusterLabel(adjuster),
				from: settingText(adjuster, now[adjuster.id] ?? 0),
				to: settingText(adjuster, planned.get(adjuster.id) ?? 0),
			}),
		),
		spokes: places.map((place) => {
			const out = towards(place.passAngleDeg, turns);
			const here = rotor.adjusters.filter(({ blade, id }) => (blade ?? id) === place.id);
			const value = (id: string) => now[id] ?? 0;
			const shown = here.filter(({ id }) => value(id) !== 0 || changed.some((one) => one.id === id));
			return {
				...place,
				letter: place.id,
				end: along(out, spokeEnd),
				textPlace: along(out, textAt),
				before: shown.map((adjuster) => settingText(adjuster, value(adjuster.id))),
				after: shown.map((adjuster) => {
					const to = planned.get(adjuster.id) ?? value(adjuster.id);
					return to === value(adjuster.id)
						? { text: settingText(adjuster, to), isChange: false }
						: { text: changeText(adjuster, value(adjuster.id), to), isChange: true };
				}),
			};
		}),
	};
}

/** "add 5" where pieces are counted; "to +1.5°" where a part is bent or turned. */
function changeText(adjuster: RotorData['adjusters'][number], from: number, to: number): string {
	const isCounted = adjuster.min >= 0 && Number.isInteger(adjuster.step);
	if (!isCounted) return fill(paper.slipTo, { value: settingText(adjuster, to) });
	const count = numberText(Math.abs(to - from), { digits: 0 });
	return fill(to > from ? paper.slipAdd : paper.slipTake, { count });
}
