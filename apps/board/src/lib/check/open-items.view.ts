import type { Card } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import { type RecordState, readHandover } from '@stillmast/record';
import { aircraft } from '$lib/words/aircraft.js';
import { fill } from '$lib/words/fill.js';
import { adjusterLabel, settingText } from './settings.view.js';
import { channelWords } from './wall-rows.view.js';

/** What stays open, in the order in which it matters; empty when nothing does. */
export function openItemWords(state: RecordState, card: Card, typeData: TypeData): string[] {
	const summary = readHandover(state);
	const count = (n: number) => String(n);
	const title = (id: string) => card.steps.find((step) => step.id === id)?.title ?? id;
	return [
		...summary.limitsUndecided.map(({ parameter, flight }) =>
			fill(aircraft.limit, { parameter, flight: count(flight) }),
		),
		...(summary.inspectionsOpen.length === 0
			? []
			: [fill(aircraft.inspection, { count: count(summary.inspectionsOpen.length) })]),
		...(summary.toAgree.length === 0 ? [] : [fill(aircraft.notAgreed, { count: count(summary.toAgree.length) })]),
		...(summary.notMeasured.length === 0
			? []
			: [
					fill(aircraft.notMeasured, {
						what: summary.notMeasured
							.map(({ rotor, setting }) => settingName(typeData, rotor, setting.adjuster))
							.join(', '),
					}),
				]),
		...(summary.measureAgain.length === 0
			? []
			: [
					fill(aircraft.measureAgain, {
						what: summary.measureAgain.map(({ result }) => resultWords(typeData, result)).join(', '),
					}),
				]),
		...summary.stepsLeft.map(({ flight, step, settled }) =>
			fill(aircraft.stepLeft, {
				step: title(step),
				flight: count(flight),
				reason: (settled.holds ?? settled.entries.at(-1))?.reason ?? '',
			}),
		),
		...summary.questions.map(({ text }) => fill(aircraft.question, { text })),
		...(summary.gearFitted.length === 0 ? [] : [fill(aircraft.gear, { gear: summary.gearFitted.join(', ') })]),
	];
}

/** "hover lateral" for `vibration/main/hover/lat`; any other result keeps the name its card gives it. */
export function resultWords(typeData: TypeData, result: string): string {
	const [kind, rotorId, ...channel] = result.split('/');
	const rotor = typeData.rotors.find(({ id }) => id === rotorId);
	return kind === 'vibration' && rotor !== undefined ? channelWords(rotor, channel.join('/')) : result;
}

function settingName(typeData: TypeData, rotorId: string, adjusterId: string): string {
	const rotor = typeData.rotors.find(({ id }) => id === rotorId);
	const adjuster = rotor?.adjusters.find(({ id }) => id === adjusterId);
	return adjuster === undefined ? adjusterId : adjusterLabel(adjuster);
}

/** "Blade D plates 5 plates" lines of everything said about the aircraft's settings, by rotor. */
export function settingWords(
	state: RecordState,
	typeData: TypeData,
): { readonly label: string; readonly text: string }[] {
	return readHandover(state).settings.flatMap(({ rotor, setting }) => {
		const adjuster = typeData.rotors
			.find(({ id }) => id === rotor)
			?.adjusters.find(({ id }) => id === setting.adjuster);
		if (adjuster === undefined || setting.values.every((value) => value === 0)) return [];
		return [
			{
				label: adjusterLabel(adjuster),
				text: setting.values.map((value) => settingText(adjuster, value)).join(' or '),
			},
		];
	});
}
