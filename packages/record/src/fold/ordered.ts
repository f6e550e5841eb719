/**
 * A list kept in order, one item for each place that `compare` tells apart. The array that `list` gives never changes:
 * the next change makes a new one, so that who shows it can tell by identity.
 */
export class Ordered<T> {
	readonly #compare: (a: T, b: T) => number;
	#items: T[] = [];
	#given = false;

	constructor(compare: (a: T, b: T) => number) {
		this.#compare = compare;
	}

	list(): readonly T[] {
		this.#given = true;
		return this.#items;
	}

	/** Puts an item in, in place of the one that stands at its place. */
	set(item: T): void {
		const items = this.#own();
		const at = this.#placeOf(item);
		items.splice(at, this.#standsAt(at, item) ? 1 : 0, item);
	}

	delete(item: T): void {
		const at = this.#placeOf(item);
		if (this.#standsAt(at, item)) this.#own().splice(at, 1);
	}

	#own(): T[] {
		if (this.#given) this.#items = [...this.#items];
		this.#given = false;
		return this.#items;
	}

	#standsAt(at: number, item: T): boolean {
		return at < this.#items.length && this.#compare(this.#items[at] as T, item) === 0;
	}

	#placeOf(item: T): number {
		let high = this.#items.length;
		// Most come last, since most are new.
		if (high > 0 && this.#compare(this.#items[high - 1] as T, item) < 0) return high;
		let low = 0;
		while (low < high) {
			const middle = (low + high) >>> 1;
			if (this.#compare(this.#items[middle] as T, item) < 0) low = middle + 1;
			else high = middle;
		}
		return low;
	}
}

/** A map whose `view` is in order of key and never changes: the next change makes a new one. */
export class OrderedMap<T> {
	readonly #items = new Map<string, T>();
	#view: ReadonlyMap<string, T> | null = new Map();

	get(key: string): T | undefined {
		return this.#items.get(key);
	}

	set(key: string, item: T): void {
		this.#items.set(key, item);
		this.#view = null;
	}

	delete(key: string): void {
		if (this.#items.delete(key)) this.#view = null;
	}

	values(): Iterable<T> {
		return this.#items.values();
	}

	view(): ReadonlyMap<string, T> {
		if (this.#view === null) {
			const sorted = [...this.#items].sort(([a], [b]) => (a < b ? -1 : 1));
			this.#view = new Map(sorted);
		}
		return this.#view;
	}
}
