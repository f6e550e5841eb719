import { LayoutShelf } from './layout-shelf.js';
import { type PreparedChoice, worstSquare } from './prepared-choice.js';

/** What all parts of one search share: the layout being built, the shelf, the count of nodes and whether to go on. */
export class SearchState {
	/** The layout being built. */
	readonly changes: Float64Array;
	shelf: LayoutShelf;
	nodes = 0;
	/** Bounds over this are useless: the radius plus what rounding may have added to a bound. */
	cutoff = Number.POSITIVE_INFINITY;
	private readonly prepared: PreparedChoice;
	private readonly rounding: number;
	private readonly improved: () => void;

	constructor(prepared: PreparedChoice, improved: () => void) {
		this.prepared = prepared;
		this.changes = new Float64Array(prepared.size);
		// Ridges and cancelled sums are below 1e-12 of the scale each; the second part serves a problem that is zero throughout.
		this.rounding = 1e-11 * prepared.scale + 1e-250;
		this.shelf = new LayoutShelf(prepared, 1);
		this.improved = improved;
	}

	/** Goes on with the shelf of another number of touches. */
	use(shelf: LayoutShelf): void {
		this.shelf = shelf;
		this.cutoff = shelf.radius + this.rounding;
	}

	/** The layout in `changes` meets every constraint and is not over the radius. */
	found(): void {
		const before = this.shelf.lowest;
		// Summed again in one fixed order, so that a layout has one value however the search came to it.
		if (!this.shelf.offer(this.changes, worstSquare(this.prepared, this.changes))) return;
		this.cutoff = this.shelf.radius + this.rounding;
		if (this.shelf.lowest < before) this.improved();
	}
}
