import { notCompared, placedNumbers } from '@stillmast/formats/provenance';
import { fill } from '$lib/words/fill.js';
import { typeData } from '$lib/words/type-data.js';
import type { Editing } from './editing.svelte.js';
import { pageState } from './own-type.js';
import type { Page } from './pages.js';

/** What stands under a page's name: empty, how much is missing, whole. */
export function pageWords(editing: Editing, page: Page | 'compare'): string {
	const { pageState: words } = typeData;
	const { own, faults } = editing;
	if (page === 'compare') {
		const count = notCompared(own.documents, own.provenance).length;
		if (count > 0) return fill(words.left, { count: String(count) });
		const { type, card } = own.documents;
		const isAny = placedNumbers('type', type).length + placedNumbers('card', card).length > 0;
		return isAny ? words.done : typeData.compare.none;
	}
	const found = pageState(own, page, faults);
	switch (found.state) {
		case 'empty':
			return page === 'limits' || page === 'card' ? words.emptyNeeded : words.empty;
		case 'whole':
			return words.whole;
		case 'unfinished':
			return found.wrong > 0
				? fill(words.wrong, { count: String(found.wrong) })
				: fill(words.missing, { count: String(found.missing) });
	}
}

/** Why the data stands where it stands. */
export function standingWords(editing: Editing): string {
	const { stateText } = typeData;
	if (editing.state !== 'draft') return stateText[editing.state];
	if (!editing.isUsable) return stateText.draftOpen;
	const { own } = editing;
	const count = notCompared(own.documents, own.provenance).length;
	return count === 1 ? stateText.draftOne : fill(stateText.draft, { count: String(count) });
}
