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

/** Settings in force as plain numbers; what differs or was never said counts as 0, as the solver's contract has it. */
export function settingsNow(rotor: RotorData, state: RotorState | undefined): Record<string, number> {
	return Object.fromEntries(rotor.adjusters.map(({ id }) => [id, state?.settings.get(id)?.value ?? 0]));
}

/** "Blade A tab", "Point 2 washers": what is changed, without how much. */
export function adjusterLabel(adjuster: RotorData['adjusters'][number]): string {
	const kind = kindWords(adjuster.kind);
	return adjuster.blade === null
		? fill(journey.workshop.pointPart, { point: /\d+$/.exec(adjuster.id)?.[0] ?? adjuster.id, part: kind })
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
