import { Draft } from '../../carrier/draft.js';
import type { Draft as DraftMessage } from '../../wire/index.js';
import { type Listeners, listeners } from '../listeners.js';

/** Text that is being typed on this page and on those of others; ended with `close`, kept nowhere. */
export interface SharedDraft {
	/** As it stands on this page now. */
	readonly text: string;
	/** Makes the text this one; what others type meanwhile stays. */
	readonly type: (text: string) => void;
	/** Stops taking part. What the others have stays with them. */
	readonly close: () => void;
}

interface Open {
	readonly draft: Draft;
	readonly texts: Listeners<string>;
	users: number;
}

/**
 * The drafts open on this page, one for each subject. A draft goes past everything that keeps an entry: to the link
 * when it takes it, else not at all, and whole again as soon as it does.
 */
export class Drafts {
	readonly #send: (message: DraftMessage) => boolean;
	readonly #open = new Map<string, Open>();
	/** Subjects of which the others may lack something. */
	readonly #unsent = new Set<string>();

	/** @param send false when the link did not take it */
	constructor(send: (message: DraftMessage) => boolean) {
		this.#send = send;
	}

	/** Opens the draft of a subject, or takes part in the one that is open here already. */
	open(subject: string, onText: (text: string) => void): SharedDraft {
		let open = this.#open.get(subject);
		if (!open) {
			const texts = listeners<string>();
			const draft = new Draft({
				onUpdate: (update) => {
					if (!this.#send({ type: 'draft', subject, update })) this.#unsent.add(subject);
				},
				onText: texts.tell,
			});
			open = { draft, texts, users: 0 };
			this.#open.set(subject, open);
		}
		const { draft, texts } = open;
		const taken = open;
		const stop = texts.add(onText);
		taken.users += 1;
		let closed = false;
		return {
			get text() {
				return draft.text;
			},
			type: (text) => {
				if (!closed) draft.type(text);
			},
			close: () => {
				if (closed) return;
				closed = true;
				stop();
				taken.users -= 1;
				if (taken.users > 0) return;
				this.#open.delete(subject);
				this.#unsent.delete(subject);
				draft.close();
			},
		};
	}

	/** What comes for a subject that is not open here is for others. */
	hear({ subject, update }: DraftMessage): void {
		this.#open.get(subject)?.draft.hear(update);
	}

	/** A connection is there: what was typed without one goes out, and what others typed is asked for. */
	meet(): void {
		this.#unsent.clear();
		for (const { draft } of this.#open.values()) draft.meet();
	}

	/** To be called now and then while there is a connection. */
	sendLate(): void {
		const late = [...this.#unsent];
		this.#unsent.clear();
		for (const subject of late) this.#open.get(subject)?.draft.meet();
	}

	close(): void {
		for (const { draft, texts } of this.#open.values()) {
			texts.clear();
			draft.close();
		}
		this.#open.clear();
	}
}
