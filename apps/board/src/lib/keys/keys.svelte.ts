import { createContext, tick } from 'svelte';
import { SvelteMap } from 'svelte/reactivity';
import { type KeyList, keyFor, type ViewKey } from './key-list.js';

/** The one registry of keys: each view says what its keys do while it is shown. */
export class Keys {
	readonly #lists = new SvelteMap<symbol, KeyList>();
	/** The last press came from a keyboard: who works so must never lose the place. */
	isByKeyboard = false;
	isSheetOpen: boolean = $state(false);

	get lists(): readonly KeyList[] {
		return [...this.#lists.values()];
	}

	/** Adds a list until the answer is called. */
	add(list: KeyList): () => void {
		const id = Symbol(list.title);
		this.#lists.set(id, list);
		return () => this.#lists.delete(id);
	}

	/** Does what the key stands for; false when it stands for nothing here. */
	press(event: KeyboardEvent, hasLetterKeys: boolean): boolean {
		const { key, ctrlKey, metaKey, altKey, target } = event;
		const found = keyFor(this.lists, { key, ctrlKey, metaKey, altKey, isInText: isText(target) }, hasLetterKeys);
		found?.does?.();
		return found !== null;
	}
}

export const [getKeys, setKeys] = createContext<Keys>();

/** Registers the keys of a view for as long as it is shown. Call while a component is being made. */
export function viewKeys(title: string, keys: () => readonly ViewKey[]): void {
	const registry = getKeys();
	$effect(() => registry.add({ title, keys: keys() }));
}

function isText(target: EventTarget | null): boolean {
	if (!(target instanceof HTMLElement)) return false;
	const isField = target.matches('textarea, select, input:not([type=checkbox], [type=radio], [type=range])');
	return isField || target.isContentEditable;
}

/** Takes the place of a focus that went with the face before it, for people who work by keyboard. */
export function takesPlace(keys: Keys): (element: HTMLElement) => void {
	return (element) => {
		if (!keys.isByKeyboard) return;
		void tick().then(() => element.querySelector<HTMLElement>('input, button:not(:disabled)')?.focus());
	};
}
