import type { Cancel, ClockPort } from '@stillmast/record/client';

interface Timer {
	readonly dueAt: number;
	readonly order: number;
	readonly work: () => void;
}

/** Virtual time for everything in one simulation; between two events all promises settle. */
export class SimulatedClock {
	#now = 0;
	#order = 0;
	readonly #heap: Timer[] = [];
	readonly #startMs = Date.UTC(2026, 4, 1, 8);

	get now(): number {
		return this.#now;
	}

	/** A clock that reads `skewMs` wrong, whose timers stop firing once `alive` says so (a page that is gone). */
	port(alive: () => boolean = () => true, skewMs = 0): ClockPort {
		const begunAt = this.#now;
		return {
			nowMs: () => this.#startMs + this.#now + skewMs,
			monotonicMs: () => this.#now - begunAt,
			after: (delayMs, work) => this.after(delayMs, () => alive() && work()),
		};
	}

	after(delayMs: number, work: () => void): Cancel {
		let live = true;
		this.#push({ dueAt: this.#now + Math.max(0, delayMs), order: this.#order++, work: () => live && work() });
		return () => {
			live = false;
		};
	}

	/** Runs everything that falls due within `ms`, in order. */
	async pass(ms: number): Promise<void> {
		const until = this.#now + ms;
		await settle();
		for (let first = this.#heap[0]; first && first.dueAt <= until; first = this.#heap[0]) {
			this.#pop();
			this.#now = first.dueAt;
			first.work();
			await settle();
		}
		this.#now = until;
	}

	#push(timer: Timer): void {
		const heap = this.#heap;
		heap.push(timer);
		for (let at = heap.length - 1; at > 0; ) {
			const parent = (at - 1) >> 1;
			if (!before(heap[at] as Timer, heap[parent] as Timer)) return;
			[heap[at], heap[parent]] = [heap[parent] as Timer, heap[at] as Timer];
			at = parent;
		}
	}

	#pop(): void {
		const heap = this.#heap;
		const last = heap.pop();
		if (!last || heap.length === 0) return;
		heap[0] = last;
		for (let at = 0; ; ) {
			let least = at;
			for (const child of [2 * at + 1, 2 * at + 2]) {
				if (child < heap.length && before(heap[child] as Timer, heap[least] as Timer)) least = child;
			}
			if (least === at) return;
			[heap[at], heap[least]] = [heap[least] as Timer, heap[at] as Timer];
			at = least;
		}
	}
}

function before(a: Timer, b: Timer): boolean {
	return a.dueAt < b.dueAt || (a.dueAt === b.dueAt && a.order < b.order);
}

/** Everything that waits only for promises has run when this resolves. */
function settle(): Promise<void> {
	return new Promise((resolve) => setImmediate(resolve));
}

/** Repeatable chance from a seed (mulberry32). */
export class Dice {
	#state: number;

	constructor(seed: number) {
		this.#state = seed >>> 0;
	}

	/** In [0, 1). */
	next(): number {
		this.#state = (this.#state + 0x6d2b79f5) >>> 0;
		let t = this.#state;
		t = Math.imul(t ^ (t >>> 15), t | 1);
		t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
		return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
	}

	chance(probability: number): boolean {
		return this.next() < probability;
	}

	/** A whole number in [least, most]. */
	between(least: number, most: number): number {
		return least + Math.floor(this.next() * (most - least + 1));
	}

	pick<T>(list: readonly T[]): T {
		return list[this.between(0, list.length - 1)] as T;
	}

	bytes(length: number): Uint8Array {
		return Uint8Array.from({ length }, () => this.between(0, 255));
	}
}
