import type { RecordState } from '@stillmast/record';
import { roleWord } from '$lib/check/people.view.js';
import { fill } from '$lib/words/fill.js';
import { paper } from '$lib/words/paper.js';

/** Where the signing stands, in the words that head every sheet. */
export function paperState({ signing }: RecordState): string {
	const roles = (signing.contents.at(-1)?.roles ?? []).map(roleWord).join(', ');
	switch (signing.state) {
		case 'unsigned':
			return paper.unsigned;
		case 'in-part':
			return fill(paper.inPart, { roles });
		case 'signed':
			return fill(paper.signed, { roles });
		case 'added-after-signing':
			return fill(paper.added, { count: String(signing.added.length) });
	}
}
