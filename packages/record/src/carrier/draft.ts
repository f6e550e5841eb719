import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import * as Y from 'yjs';
import { DRAFT_BYTES_MAX } from '../wire/access.js';

/** Name of the one root of a draft's document. */
const TEXT_ROOT = 'text';
/** Longest text kept: more than a narrative can hold, so that one can still be seen to be too long. */
const CHARACTERS_MAX = 20_000;
/** An update that holds nothing: no structs, no deletes. Who sends it asks for what the others have. */
const QUESTION = Uint8Array.from([0, 0]);

/** Does this update of a draft only ask for what the others have? */
export function isDraftQuestion(update: Uint8Array): boolean {
	return update.length === 2 && update[0] === 0 && update[1] === 0;
}

export interface DraftEvents {
	/** Bytes for the others: goes out as a `draft` message. */
	readonly onUpdate: (update: Uint8Array) => void;
	/** The text is another now. */
	readonly onText: (text: string) => void;
}

/** `too-big` · `malformed`: not an update of a draft; what was here stays. */
export type DraftProblem = Problem & { readonly code: 'too-big' | 'malformed' };

/**
 * Text that several people type together before one of them writes it down. It lives in a document of its own that is
 * thrown away: evidence is the `narrative` entry only. @rule REC-23
 */
export class Draft {
	readonly #events: DraftEvents;
	#doc = newDocument();

	constructor(events: DraftEvents) {
		this.#events = events;
		this.#listen();
		events.onUpdate(QUESTION);
	}

	get text(): string {
		return this.#doc.getText(TEXT_ROOT).toString();
	}

	/** Makes the text this one by changing only what differs, so that what others type meanwhile stays. */
	type(text: string): void {
		const before = this.text;
		const { start, removed, added } = difference(before, text);
		if (removed === 0 && added === '') return;
		this.#doc.transact(() => {
			const shared = this.#doc.getText(TEXT_ROOT);
			if (removed > 0) shared.delete(start, removed);
			if (added !== '') shared.insert(start, added);
		}, this);
	}

	/** Takes what another page sent. Nothing that comes can bring it down: at worst the draft goes on without it. */
	hear(update: Uint8Array): Result<void, DraftProblem> {
		if (update.length > DRAFT_BYTES_MAX) {
			return fail({ code: 'too-big', found: update.length, needed: DRAFT_BYTES_MAX });
		}
		if (isDraftQuestion(update)) {
			this.#tell();
			return ok(undefined);
		}
		// Tried on a copy first: a throw half way leaves a document changed.
		const trial = newDocument();
		try {
			Y.applyUpdate(trial, Y.encodeStateAsUpdate(this.#doc));
			Y.applyUpdate(trial, update);
			const length = trial.getText(TEXT_ROOT).toString().length;
			if (length > CHARACTERS_MAX) return fail({ code: 'too-big', found: length, needed: CHARACTERS_MAX });
			Y.applyUpdate(this.#doc, update, 'heard');
			// Drafts are dropped where a link is slow: what this one builds on has not come.
			if (this.#waits()) this.#events.onUpdate(QUESTION);
			return ok(undefined);
		} catch (error) {
			return fail({ code: 'malformed', found: error instanceof Error ? error.message : String(error) });
		} finally {
			trial.destroy();
		}
	}

	/** To be called when there is a way to the others, or one anew: tells them all there is here and asks for theirs. */
	meet(): void {
		this.#tell();
		this.#events.onUpdate(QUESTION);
	}

	close(): void {
		this.#doc.destroy();
	}

	#tell(): void {
		if (this.text !== '' || this.#doc.store.clients.size > 0) this.#events.onUpdate(Y.encodeStateAsUpdate(this.#doc));
	}

	#waits(): boolean {
		const { pendingStructs, pendingDs } = this.#doc.store;
		return pendingStructs !== null || pendingDs !== null;
	}

	#listen(): void {
		this.#doc.on('update', (update: Uint8Array, origin: unknown) => {
			if (origin === this) this.#events.onUpdate(update);
			this.#events.onText(this.text);
		});
	}
}

function newDocument(): Y.Doc {
	const doc = new Y.Doc();
	doc.getText(TEXT_ROOT);
	return doc;
}

/** What is cut out and put in between the common beginning and the common end; no pair of surrogates is parted. */
function difference(before: string, after: string): { start: number; removed: number; added: string } {
	const most = Math.min(before.length, after.length);
	let start = 0;
	while (start < most && before[start] === after[start]) start++;
	if (isHighSurrogate(before.charCodeAt(start - 1))) start--;
	let end = 0;
	while (end < most - start && before[before.length - 1 - end] === after[after.length - 1 - end]) end++;
	if (isLowSurrogate(before.charCodeAt(before.length - end))) end--;
	return { start, removed: before.length - start - end, added: after.slice(start, after.length - end) };
}

function isHighSurrogate(unit: number): boolean {
	return unit >= 0xd800 && unit <= 0xdbff;
}

function isLowSurrogate(unit: number): boolean {
	return unit >= 0xdc00 && unit <= 0xdfff;
}
