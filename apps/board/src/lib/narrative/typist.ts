import type { RecordState } from '@stillmast/record';
import { fill } from '$lib/words/fill.js';
import { narrative as words } from '$lib/words/narrative.js';

/**
 * Who is typing travels beside a draft, in a draft of its own that each hand takes over when it begins: key and a count
 * that makes it new. It shows the moment and proves nothing.
 */
export function typistSubject(subject: string): string {
	return `typing/${subject}`;
}

export function typistText(key: string, count: number): string {
	return `${key} ${count}`;
}

/** Two hands that began at once leave a mixture: then it is somebody. */
export function typistWords(text: string, people: RecordState['people']): string {
	const name = people.get(text.split(' ')[0] ?? '')?.name;
	return name === undefined ? words.somebodyTyping : fill(words.typing, { name });
}

/** Where a cursor stands after somebody else changed the text: with the words it stood at. */
export function cursorAfter(before: string, after: string, cursor: number): number {
	let same = 0;
	while (same < cursor && before[same] === after[same]) same += 1;
	if (same === cursor) return cursor;
	let end = 0;
	while (
		end < before.length - cursor &&
		end < after.length - same &&
		before[before.length - 1 - end] === after[after.length - 1 - end]
	)
		end += 1;
	return Math.max(same, after.length - end - (before.length - cursor - end));
}
