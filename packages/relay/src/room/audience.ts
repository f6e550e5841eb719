import { encodeMessage, type WireMessage } from '@stillmast/record/wire';
import type { Clock } from '../ports.js';
import type { StoredHead } from '../store/store.js';
import { HeadNews } from './head-news.js';
import type { Member } from './member.js';

/** Heads go at once to whoever wrote, and this much later, together, to the others. */
const HEADS_TO_OTHERS_AFTER_MS = 500;

/** Everybody who is connected to one record, and what they are still to be told. */
export class Audience {
	readonly #clock: Clock;
	readonly #members = new Set<Member>();
	readonly #newsForWriters = new Map<Member, HeadNews>();
	readonly #newsForOthers = new HeadNews();

	constructor(clock: Clock) {
		this.#clock = clock;
	}

	get size(): number {
		return this.#members.size;
	}

	add(member: Member): void {
		this.#members.add(member);
	}

	delete(member: Member): void {
		this.#members.delete(member);
	}

	/** Encoded once, however many get it. */
	tell(message: WireMessage, except: Member | null = null): void {
		const bytes = encodeMessage(message);
		for (const member of this.#members) if (member !== except) member.sendEncoded(bytes);
	}

	/** For what only shows the moment. */
	tellPassing(message: WireMessage, except: Member | null = null): void {
		const bytes = encodeMessage(message);
		for (const member of this.#members) if (member !== except) member.sendPassing(bytes);
	}

	/** What one commit kept is told together: at once to whoever wrote it, a little later to the others. */
	announce(heads: readonly StoredHead[], from: Member | null): void {
		if (heads.length === 0) return;
		if (from) {
			if (this.#newsForWriters.size === 0) queueMicrotask(() => this.#tellWriters());
			const news = this.#newsForWriters.get(from) ?? new HeadNews();
			this.#newsForWriters.set(from, news);
			news.add(heads);
		}
		if (this.#newsForOthers.empty) {
			this.#clock.after(HEADS_TO_OTHERS_AFTER_MS, () =>
				this.tell({ type: 'stored', heads: this.#newsForOthers.take() }),
			);
		}
		this.#newsForOthers.add(heads);
	}

	/** Closes those for whom `why` gives a code and a reason. */
	close(why: (member: Member) => { readonly code: number; readonly reason: string } | null): void {
		for (const member of [...this.#members]) {
			const closing = why(member);
			if (!closing) continue;
			this.#members.delete(member);
			member.close(closing.code, closing.reason);
		}
	}

	#tellWriters(): void {
		for (const [member, news] of this.#newsForWriters) member.send({ type: 'stored', heads: news.take() });
		this.#newsForWriters.clear();
	}
}
