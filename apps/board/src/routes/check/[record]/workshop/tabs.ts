import { limitCases } from '@stillmast/record/judge';
import { fieldsOf } from '$lib/check/card-fields.view.js';
import { marksToExplain } from '$lib/check/marks.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { judged } from '$lib/words/judged.js';
import { limitsPassed } from '$lib/words/limits-passed.js';

export interface WorkshopTab {
	/** `rotor/main`, `limits`, …: names the panel. */
	readonly id: string;
	readonly label: string;
}

/** Tabs that only a card with such fields has. */
const judgedTabs = [
	{ id: 'engine', kind: 'hold', label: judged.tabs.engine },
	{ id: 'bleed', kind: 'consumer', label: judged.tabs.bleed },
	{ id: 'ramps', kind: 'ramp', label: judged.tabs.ramps },
] as const;

/** The tabs of a check: one for each rotor, then what its card asks for, then what waits for people. */
export function workshopTabs(check: LiveCheck): readonly WorkshopTab[] {
	const { state, card, typeData } = check;
	const open = limitCases(state, card, typeData).filter(({ isSettled }) => !isSettled).length;
	const waiting = open + marksToExplain(state, card);
	return [
		...typeData.rotors.map(({ id, name }) => ({ id: rotorTab(id), label: name })),
		...judgedTabs.filter(({ kind }) => fieldsOf(card, kind).length > 0).map(({ id, label }) => ({ id, label })),
		{
			id: 'limits',
			label: waiting === 0 ? limitsPassed.tab : fill(limitsPassed.tabCount, { count: String(waiting) }),
		},
		{ id: 'agree', label: fill(journey.workshop.toAgree, { count: String(state.toAgree.length) }) },
		{ id: 'sign', label: journey.workshop.sign },
	];
}

export function rotorTab(rotorId: string): string {
	return `rotor/${rotorId}`;
}
