/** What a key of the keyboard does on a view. One that a part hears itself, such as an arrow on a lever, has no `does`. */
export interface ViewKey {
	/** As the browser names it, letters in lower case: `m`, `?`, `Escape`, `ArrowUp`. */
	readonly key: string;
	readonly says: string;
	readonly does?: (() => void) | undefined;
}

/** The keys of one view or part, under its name. */
export interface KeyList {
	readonly title: string;
	readonly keys: readonly ViewKey[];
}

/** As much of a keyboard event as decides. */
export interface Pressed {
	readonly key: string;
	readonly ctrlKey: boolean;
	readonly metaKey: boolean;
	readonly altKey: boolean;
	/** The person is writing text: every sign belongs to that text. */
	readonly isInText: boolean;
}

/** A letter, figure or sign, which speech input and tremor can press by mistake (WCAG 2.2, 2.1.4). */
export function isLetterKey(key: string): boolean {
	return [...key].length === 1;
}

/**
 * What a press does: the key of the list that came last, which lies over the others.
 * @param hasLetterKeys false where the person switched single letters off
 */
export function keyFor(lists: readonly KeyList[], pressed: Pressed, hasLetterKeys: boolean): ViewKey | null {
	if (pressed.ctrlKey || pressed.metaKey || pressed.altKey) return null;
	if (isLetterKey(pressed.key) && (pressed.isInText || !hasLetterKeys)) return null;
	const wanted = isLetterKey(pressed.key) ? pressed.key.toLowerCase() : pressed.key;
	for (const { keys } of lists.toReversed()) {
		const found = keys.find(({ key, does }) => key === wanted && does !== undefined);
		if (found !== undefined) return found;
	}
	return null;
}
