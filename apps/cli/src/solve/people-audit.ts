import type { Audit } from '@stillmast/core/balance';
import { chance } from '../print/figures.js';

/** Explanations less likely than this are not worth a line. */
const worthShowing = 0.02;

/** Whether the last reading fits what was written down, and which mistake would explain it if not. */
export function auditForPeople(audit: Audit | null): string {
	if (audit === null) return '';
	const title = audit.fits
		? `Run ${audit.run} fits the changes as written down`
		: `Run ${audit.run} DOES NOT FIT the changes as written down`;
	const shown = audit.answers.filter((answer, at) => at === 0 || answer.posterior >= worthShowing);
	if (audit.fits && shown.length === 1) return title;
	const lines = shown.flatMap((answer) => [
		`  ${chance(answer.posterior).padStart(9)}  ${answer.words}`,
		...(answer.look === '' ? [] : [`             look: ${answer.look}`]),
	]);
	return [title, ...lines].join('\n');
}
