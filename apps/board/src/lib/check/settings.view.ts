import type { RotorData } from '@stillmast/formats/type-data';
import type { RotorState } from '@stillmast/record';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { numberText } from '$lib/words/number.js';

/** One adjuster as it stands on the aircraft. */
export interface SettingLine {
	readonly id: string;
	/** "A plates", "B tab". */
	readonly label: string;
	/** "2 plates", "+0.5 deg", or both values while they differ. */
	readonly text: string;
	readonly value: number | null;
	/** Differs from zero, so it is worth a line where space is short. */
	readonly isSet: boolean;
	/** Made and not yet read off the aircraft. */
	readonly isUnmeasured: boolean;
}

/** Every adjuster of a rotor in the order of the type data. What nobody wrote down is absent from `state`. */
export function settingLines(rotor: RotorData, state: RotorState | undefined): SettingLine[] {
	return rotor.adjusters.map((adjuster) => {
		const setting = state?.settings.get(adjuster.id);
		const value = setting === undefined ? 0 : setting.value;
		const values = setting?.values ?? [0];
		return {
			id: adjuster.id,
			label: adjusterLabel(adjuster),
			text: values.map((one) => settingText(adjuster, one)).join(' or '),
			value,
			isSet: values.some((one) => one !== 0),
			isUnmeasured: setting !== undefined && !setting.measured,
		};
	});
}

/** What one blade carries, or all the mass points of a rotor without a blade, in one short line. */
export interface SpokeLine {
	readonly id: string;
	readonly name: string;
	/** "3 plates, tab +1.5\u00b0". */
	readonly text: string;
}

/** Everything on a rotor that is not zero, a line for each blade: for where room is short. */
export function spokeLines(rotor: RotorData, state: RotorState | undefined): SpokeLine[] {
	const set = settingLines(rotor, state).filter(({ isSet }) => isSet);
	const carried = rotor.adjusters.flatMap((adjuster) => {
		const line = set.find(({ id }) => id === adjuster.id);
		return line === undefined ? [] : [{ adjuster, text: carriedText(adjuster, line.text) }];
	});
	const blades = [...new Set(carried.map(({ adjuster }) => adjuster.blade ?? null))];
	return blades.map((blade) => ({
		id: `${rotor.id} ${blade ?? ''}`,
		name: blade === null ? rotor.name : fill(journey.workshop.blade, { blade }),
		text: carried
			.filter(({ adjuster }) => (adjuster.blade ?? null) === blade)
			.map(({ text }) => text)
			.join(', '),
	}));
}

/** "3 plates" says what it is; "+1.5\u00b0" and "\u22121 flat" need their part's name, a mass point its number. */
function carriedText(adjuster: RotorData['adjusters'][number], text: string): string {
	const part = adjuster.kind === adjuster.unit ? text : `${kindWords(adjuster.kind)} ${text}`;
	return adjuster.blade === null ? fill(journey.workshop.pointCarries, { point: pointOf(adjuster.id), part }) : part;
}

function pointOf(id: string): string {
	return /\d+$/.exec(id)?.[0] ?? id;
}

/** Settings in force as plain numbers; what differs or was never said counts as 0, as the solver's contract has it. */
export function settingsNow(rotor: RotorData, state: RotorState | undefined): Record<string, number> {
	return Object.fromEntries(rotor.adjusters.map(({ id }) => [id, state?.settings.get(id)?.value ?? 0]));
}

/** "Blade A tab", "Point 2 washers": what is changed, without how much. */
export function adjusterLabel(adjuster: RotorData['adjusters'][number]): string {
	const kind = kindWords(adjuster.kind);
	return adjuster.blade === null
		? fill(journey.workshop.pointPart, { point: pointOf(adjuster.id), part: kind })
		: fill(journey.workshop.bladePart, { blade: adjuster.blade, part: kind });
}

function kindWords(kind: string): string {
	return Object.hasOwn(journey.kinds, kind) ? journey.kinds[kind as keyof typeof journey.kinds] : kind;
}

/** "2 plates", "+0.5\u00b0", "0 flats". */
export function settingText(adjuster: RotorData['adjusters'][number], value: number): string {
	const digits = Number.isInteger(adjuster.step) ? 0 : 1;
	const number = numberText(value, { digits, signed: adjuster.min < 0 && value !== 0 });
	if (adjuster.unit === 'deg') return `${number}\u00b0`;
	return `${number} ${adjuster.unit}${Math.abs(value) === 1 ? '' : 's'}`;
}
