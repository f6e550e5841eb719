import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import { typistSubject, typistText, typistWords } from './typist.js';

/** A hand that has not typed for so long has stopped. */
const stillTyping_ms = 4_000;
/** As often as a hand says that it is still typing. */
const sayAgain_ms = 1_500;

type Draft = ReturnType<LiveCheck['session']['openDraft']>;

/** One text that several people type at once, before one of them writes it down. */
export class SharedText {
	text = $state('');
	/** "Demo engineer is typing." while another hand does; else null. */
	typing: string | null = $state(null);
	readonly #check: LiveCheck;
	readonly #draft: Draft;
	readonly #typist: Draft;
	#saidCount = 0;
	#saidAt_ms = 0;
	#said = '';
	#stopping: ReturnType<typeof setTimeout> | null = null;

	/** @param onothers called when another hand has changed the text, with what it was before */
	constructor(check: LiveCheck, subject: string, onothers: (before: string) => void) {
		this.#check = check;
		this.#draft = check.session.openDraft(subject, (text) => {
			const before = this.text;
			if (text === before) return;
			this.text = text;
			onothers(before);
		});
		this.text = this.#draft.text;
		this.#typist = check.session.openDraft(typistSubject(subject), (text) => this.#hearTypist(text));
	}

	type(text: string): void {
		this.text = text;
		this.#draft.type(text);
		const now_ms = this.#check.nowMs();
		if (now_ms - this.#saidAt_ms < sayAgain_ms) return;
		this.#saidAt_ms = now_ms;
		this.#saidCount += 1;
		this.#said = typistText(this.#check.pen.key.fingerprint, this.#saidCount);
		this.#typist.type(this.#said);
	}

	/** The draft has become an entry: it is empty again for everybody. */
	clear(): void {
		this.text = '';
		this.#draft.type('');
	}

	close(): void {
		if (this.#stopping !== null) clearTimeout(this.#stopping);
		this.#draft.close();
		this.#typist.close();
	}

	#hearTypist(text: string): void {
		if (text === '' || text === this.#said) return;
		this.typing = typistWords(text, this.#check.state.people);
		if (this.#stopping !== null) clearTimeout(this.#stopping);
		this.#stopping = setTimeout(() => {
			this.typing = null;
		}, stillTyping_ms);
	}
}
