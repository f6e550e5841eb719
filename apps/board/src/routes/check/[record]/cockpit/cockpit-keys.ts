import type { ViewKey } from '$lib/keys/key-list.js';
import { keys } from '$lib/words/keys.js';
import type { Cockpit } from './cockpit.svelte.js';

const words = keys.cockpit;

/** What single keys do on the face that is shown: the same as the keys on the glass. */
export function cockpitKeys(cockpit: Cockpit): readonly ViewKey[] {
	const { face } = cockpit.face;
	const back: ViewKey = { key: 'Escape', says: words.back, does: () => cockpit.backToStep() };
	const mark: ViewKey = { key: 'm', says: words.mark, does: () => cockpit.markMoment() };
	if (!cockpit.mayWrite) return face === 'step' ? [card(cockpit)] : [back];
	if (!cockpit.place.isFlying) return [{ key: 'b', says: words.begin, does: () => void cockpit.begin() }];
	switch (face) {
		case 'step':
			return [mark, ...stepKeys(cockpit)];
		case 'card':
			return [
				{ key: 'l', says: words.later, does: () => void cockpit.next('later') },
				{ key: 'q', says: words.quiet, does: () => cockpit.quiet() },
				back,
			];
		case 'ramp':
			return [mark, { key: 'e', says: words.end, does: () => cockpit.endRamp() }, back];
		case 'flown':
			return [
				mark,
				{ key: 'w', says: words.write, does: () => cockpit.writeSeen() },
				{ key: 'k', says: words.keep, does: () => void cockpit.keepFlown() },
				back,
			];
		case 'quiet':
			return [mark, back];
		default:
			return [back];
	}
}

function stepKeys(cockpit: Cockpit): readonly ViewKey[] {
	return [
		{ key: 'n', says: words.next, does: () => void (cockpit.isAtEnd ? cockpit.end() : cockpit.next('done')) },
		{ key: 'w', says: words.write, does: () => writeIfAny(cockpit) },
		{ key: 'd', says: words.here, does: () => pressHere(cockpit) },
		{ key: 'b', says: words.begin, does: () => beginRampIfAny(cockpit) },
		card(cockpit),
	];
}

function card(cockpit: Cockpit): ViewKey {
	return { key: 'c', says: words.card, does: () => cockpit.openCard() };
}

function writeIfAny(cockpit: Cockpit): void {
	if ((cockpit.stepFace?.writable.length ?? 0) > 0) cockpit.write();
}

function beginRampIfAny(cockpit: Cockpit): void {
	if ((cockpit.stepFace?.ramp ?? null) !== null) cockpit.beginRamp();
}

/** What the key beside *Write a number* says: the first thing to be done, what is held, else *Measured*. */
function pressHere(cockpit: Cockpit): void {
	const { done = [], confirmed = [], timed = [], writable = [] } = cockpit.stepFace ?? {};
	const open = [...done, ...confirmed].find(({ isDone }) => !isDone);
	const part = cockpit.timedNow;
	if (open !== undefined) cockpit.tick(open.id);
	else if (cockpit.clock.runningId !== null) cockpit.clock.stop();
	else if (part !== null) cockpit.clock.start(part.id, part.neededS);
	else if (timed.length === 0 && writable.length > 0) cockpit.markMoment('measured');
}
