import type { EntryOf } from '@stillmast/formats/entry';
import { hashBytes, type RecordState, toBase64url } from '@stillmast/record';
import type { Session } from '@stillmast/record/client';
import { all, type Done } from '$lib/check/actions.js';

/** What an instructor fixes before a lesson begins. */
export interface LessonPlan {
	/** In one sentence. */
	readonly aim: string;
	/** So many attempts inside, one after the other, and the aim is reached. */
	readonly inARow: number;
	/** Time of the ramp. */
	readonly targetS: number;
	/** SHA-256 of what is hidden, so that nobody can say later that it was something else. */
	readonly hiddenHash: string;
}

/** What the trainee does not get to know before it happens; `salt` keeps a short sentence from being guessed. */
export interface Hidden {
	readonly text: string;
	readonly salt: string;
}

const field = {
	aim: 'lesson/aim',
	inARow: 'lesson/in-a-row',
	targetS: 'lesson/ramp-time',
	hiddenHash: 'lesson/hidden-hash',
} as const;
const revealedSubject = 'lesson/hidden';

export function hashOfHidden({ text, salt }: Hidden): string {
	return hashBytes(new TextEncoder().encode(`${salt}\n${text}`));
}

export function newSalt(random: (length: number) => Uint8Array): string {
	return toBase64url(random(16));
}

/** Writes the plan down; the last item is the aim, so a record that shows an aim shows all of it. */
export function writePlan(session: Pick<Session, 'write'>, plan: LessonPlan): Promise<Done> {
	return all(
		() => session.write('header', { field: field.inARow, value: plan.inARow, unit: '' }),
		() => session.write('header', { field: field.targetS, value: plan.targetS, unit: 's' }),
		() => session.write('header', { field: field.hiddenHash, value: plan.hiddenHash, unit: '' }),
		() => session.write('header', { field: field.aim, value: plan.aim, unit: '' }),
	);
}

/** Shows everybody what was hidden. */
export function revealHidden(session: Pick<Session, 'write'>, { text, salt }: Hidden): Promise<Done> {
	return all(() => session.write('narrative', { subject: revealedSubject, text: `${salt}\n${text}`, replaces: [] }));
}

/** Plan as it stands in the record; null while it is no lesson, or not all of it is here. */
export function planOf({ of }: Pick<RecordState, 'of'>): LessonPlan | null {
	const newest = (name: string) => of.header.filter((entry) => entry.field === name).at(-1)?.value;
	const aim = newest(field.aim);
	const [inARow, targetS, hiddenHash] = [newest(field.inARow), newest(field.targetS), newest(field.hiddenHash)];
	if (typeof aim !== 'string' || typeof inARow !== 'number' || typeof targetS !== 'number') return null;
	return { aim, inARow, targetS, hiddenHash: typeof hiddenHash === 'string' ? hiddenHash : '' };
}

/** The aim counts only if no attempt was known when it was written. @rule LSN-1 */
export function isAimFixedBefore({ of }: Pick<RecordState, 'of'>): boolean {
	const aims = of.header.filter((entry) => Object.values<string>(field).includes(entry.field));
	const firstAttempt = of.attempt[0];
	return firstAttempt === undefined || aims.every((entry: EntryOf<'header'>) => entry.n < firstAttempt.n);
}

/** What was hidden, once it was shown, and whether it is what was fixed before; null before. @rule LSN-2 */
export function revealed(
	state: Pick<RecordState, 'of'>,
): { readonly text: string; readonly isAsFixed: boolean } | null {
	const shown = state.of.narrative.filter(({ subject }) => subject === revealedSubject).at(-1);
	if (shown === undefined) return null;
	const [salt = '', ...lines] = shown.text.split('\n');
	const text = lines.join('\n');
	return { text, isAsFixed: hashOfHidden({ text, salt }) === planOf(state)?.hiddenHash };
}
