/** Items of one piece: a change copies one piece and the list of pieces, whatever the length of the whole. */
const PIECE_MAX = 256;

/** A list as it stood at one moment; the array is put together when it is first asked for. */
export class Snapshot<T> {
	readonly #pieces: readonly (readonly T[])[];
	#items: readonly T[] | null = null;

	constructor(pieces: readonly (readonly T[])[]) {
		this.#pieces = pieces;
	}

	/** The same array however often it is asked for. */
	get items(): readonly T[] {
		this.#items ??=
			this.#pieces.length === 1 ? (this.#pieces[0] as readonly T[]) : (this.#pieces.flat(1) as unknown as T[]);
		return this.#items;
	}
}

/**
 * A list kept in order, one item for each place that `compare` tells apart. What `list` and `snapshot` give never
 * changes: the next change makes a new one, so that who shows it can tell by identity.
 */
export class Ordered<T> {
	readonly #compare: (a: T, b: T) => number;
	#pieces: T[][] = [];
	/** Pieces that no snapshot holds. */
	#own = new Set<T[]>();
	#snapshot: Snapshot<T> | null = null;

	constructor(compare: (a: T, b: T) => number) {
		this.#compare = compare;
	}

	list(): readonly T[] {
		return this.snapshot().items;
	}

	snapshot(): Snapshot<T> {
		if (this.#snapshot === null) {
			this.#snapshot = new Snapshot(this.#pieces);
			this.#own = new Set();
		}
		return this.#snapshot;
	}

	/** Puts an item in, in place of the one that stands at its place. */
	set(item: T): void {
		const number = this.#pieceOf(item);
		const before = this.#pieces[number];
		if (
			before === undefined ||
			(number === this.#pieces.length - 1 && before.length >= PIECE_MAX && this.#isAfter(before, item))
		) {
			const piece = [item];
			this.#openForChange().push(piece);
			this.#own.add(piece);
			return;
		}
		const piece = this.#ownPiece(number);
		const at = this.#placeIn(piece, item);
		piece.splice(at, this.#standsAt(piece, at, item) ? 1 : 0, item);
		if (piece.length <= PIECE_MAX * 2) return;
		const rest = piece.splice(PIECE_MAX);
		this.#own.add(rest);
		this.#pieces.splice(number + 1, 0, rest);
	}

	delete(item: T): void {
		const number = this.#pieceOf(item);
		const before = this.#pieces[number];
		if (before === undefined) return;
		const at = this.#placeIn(before, item);
		if (!this.#standsAt(before, at, item)) return;
		const piece = this.#ownPiece(number);
		piece.splice(at, 1);
		if (piece.length === 0) this.#pieces.splice(number, 1);
	}

	/** The list of pieces, a copy if a snapshot holds it. */
	#openForChange(): T[][] {
		if (this.#snapshot !== null) {
			this.#pieces = [...this.#pieces];
			this.#snapshot = null;
		}
		return this.#pieces;
	}

	#ownPiece(number: number): T[] {
		const pieces = this.#openForChange();
		const piece = pieces[number] as T[];
		if (this.#own.has(piece)) return piece;
		const copy = [...piece];
		pieces[number] = copy;
		this.#own.add(copy);
		return copy;
	}

	/** The first piece whose last item is not before this one, else the last piece. */
	#pieceOf(item: T): number {
		// Most come last, since most are new.
		const last = this.#pieces.length - 1;
		if (last < 1 || this.#isAfter(this.#pieces[last - 1] as T[], item)) return Math.max(0, last);
		return firstFrom(last, (number) => !this.#isAfter(this.#pieces[number] as T[], item));
	}

	/** Does an item come after all of a piece, none of which is empty? */
	#isAfter(piece: readonly T[], item: T): boolean {
		return this.#compare(piece[piece.length - 1] as T, item) < 0;
	}

	#placeIn(piece: readonly T[], item: T): number {
		if (this.#isAfter(piece, item)) return piece.length;
		return firstFrom(piece.length, (at) => this.#compare(piece[at] as T, item) >= 0);
	}

	#standsAt(piece: readonly T[], at: number, item: T): boolean {
		return at < piece.length && this.#compare(piece[at] as T, item) === 0;
	}
}

/** The first number below `end` for which `holds`, which holds for all after it; `end` if there is none. */
function firstFrom(end: number, holds: (number: number) => boolean): number {
	let low = 0;
	let high = end;
	while (low < high) {
		const middle = (low + high) >>> 1;
		if (holds(middle)) high = middle;
		else low = middle + 1;
	}
	return low;
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
