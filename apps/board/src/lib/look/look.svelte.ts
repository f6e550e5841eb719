import { type DecimalMark, type VibrationUnit, writing } from '$lib/words/writing.svelte.js';
import { type Hand, type LookChoice, readLookChoice, writeLookChoice } from './look-choice.js';
import { themeStyleSheet } from './theme-css.js';
import type { ThemeName } from './theme-tokens.js';

const storageKey = 'stillmast/look@1';

/** What was chosen for this device, from theme and hand to how numbers are written, kept on the device and nowhere else. */
export class Look {
	#choice: LookChoice = $state.raw(readLookChoice(null));

	/** Takes up what was kept on this device. Storage may be refused; the choice then lasts for this visit. */
	constructor(storage: Storage | null = deviceStorage()) {
		this.#storage = storage;
		this.#choice = readLookChoice(storage?.getItem(storageKey) ?? null);
		this.#tellWriting();
	}

	#storage: Storage | null;

	get theme(): ThemeName {
		return this.#choice.theme;
	}

	get hand(): Hand {
		return this.#choice.hand;
	}

	/** CSS px per millimetre as measured with a card, or null. */
	get pxPerMm(): number | null {
		return this.#choice.pxPerMm;
	}

	get mark(): DecimalMark {
		return this.#choice.mark;
	}

	get vibrationUnit(): VibrationUnit {
		return this.#choice.vibrationUnit;
	}

	get hasLetterKeys(): boolean {
		return this.#choice.hasLetterKeys;
	}

	choose(change: Partial<LookChoice>): void {
		this.#choice = { ...this.#choice, ...change };
		this.#tellWriting();
		try {
			this.#storage?.setItem(storageKey, writeLookChoice(this.#choice));
		} catch {
			// A full or refused store must not cost the person the theme they just chose.
		}
	}

	#tellWriting(): void {
		writing.mark = this.mark;
		writing.vibrationUnit = this.vibrationUnit;
	}

	/** Puts the choice on the page's root element. Call inside an effect. */
	wear(root: HTMLElement): void {
		root.dataset.theme = this.theme;
		root.dataset.hand = this.hand;
		if (this.pxPerMm === null) root.style.removeProperty('--measured-mm');
		else root.style.setProperty('--measured-mm', `${this.pxPerMm}px`);
	}
}

/** Gives the document the colour tokens, once. A constructed sheet needs no inline style in the page. */
export function layTokens(target: Document): void {
	const sheet = new CSSStyleSheet();
	sheet.replaceSync(themeStyleSheet());
	target.adoptedStyleSheets = [...target.adoptedStyleSheets, sheet];
}

function deviceStorage(): Storage | null {
	try {
		return globalThis.localStorage ?? null;
	} catch {
		return null;
	}
}
