import { isCode } from '$lib/live/pen-code.js';
import { journey } from '$lib/words/journey.js';

/** What a person writes down to get a pen. */
export interface Person {
	readonly name: string;
	readonly licence: string;
	readonly code: string;
}

/** What is still needed before a pen can be made; null when nothing is. */
export function personTrouble({ name, code }: Person): string | null {
	if (name.trim() === '') return journey.joining.needName;
	return isCode(code) ? null : journey.joining.needCode;
}
