/**
 * One quantity to make small: the vector F·x + g of `rows.length` components. A channel of vibration has two rows
 * (real and imaginary part over the goal); the spread of its prediction is appended as further rows, so that the squared
 * length is (|mean|² + z²·sd²)/goal². The objectives look only at squared lengths.
 */
export interface ChoiceTerm {
	readonly id: string;
	/** F, one row per component, one number per variable. */
	readonly rows: readonly (readonly number[])[];
	/** g, one number per row. */
	readonly offset: readonly number[];
	/** Weight of this term in `weighted-squares` (default 1); `worst` does not look at it. Finite, ≥ 0. */
	readonly weight?: number;
}

/** One adjuster: what is set now and what it may be set to, in the adjuster's own unit. */
export interface ChoiceVariable {
	readonly id: string;
	readonly kind: string;
	/** The value found. It may lie off the grid of `allowed`: keeping it is always allowed and counts as untouched. */
	readonly current: number;
	/** Ascending, without repeats. An adjuster that is locked has none, or only `current`. */
	readonly allowed: readonly number[];
	/** Work of touching this adjuster at all, any unit, ≥ 0. */
	readonly effort: number;
	/** Mass per unit of |value|, ≥ 0. */
	readonly mass: number;
}

/** Σ coefficients·x ≤ atMost, over the values themselves (not the changes): loose stock, limits on the mean. */
export interface ChoiceConstraint {
	readonly coefficients: readonly number[];
	readonly atMost: number;
}

/** `worst`: the largest squared length of any term. `weighted-squares`: Σ weight·squared length. */
export type ChoiceObjective = 'worst' | 'weighted-squares';

export interface ChoiceProblem {
	readonly terms: readonly ChoiceTerm[];
	readonly variables: readonly ChoiceVariable[];
	readonly constraints: readonly ChoiceConstraint[];
	/** Most adjusters to be touched, ≥ 0; more than there are variables means no limit. */
	readonly maxTouches: number;
	readonly objective: ChoiceObjective;
	/** The numbers of touches to answer for (default every one, 0 … maxTouches). Each 0 … maxTouches. */
	readonly touchCounts?: readonly number[];
	/** How many of the best layouts to return per number of touches (default 1), for re-ranking by chance. */
	readonly keepBest?: number;
}

export interface ChoiceOptions {
	/** A clock in milliseconds; without one there is no time budget. */
	readonly nowMs?: () => number;
	/** Time for the whole search; needs `nowMs`. */
	readonly budgetMs?: number;
	/** Most search nodes in all. */
	readonly nodeLimit?: number;
	/** Called with every improvement and whenever a number of touches is closed. */
	readonly onProgress?: (progress: ChoiceProgress) => void;
	/** Asked every few thousand nodes; true ends the search with what is known. */
	readonly stop?: () => boolean;
}

export interface ChoiceProgress {
	readonly touches: number;
	/** Best value known for at most this many touches; Infinity while none is. */
	readonly value: number;
	readonly settings: readonly number[] | null;
	readonly proved: boolean;
	readonly nodes: number;
}

/** One layout: a value for every variable, in their order. */
export interface ChoiceLayout {
	readonly settings: readonly number[];
	/** The objective: a squared length over goal for `worst`. */
	readonly value: number;
	/** How many adjusters differ from `current`. */
	readonly touches: number;
	/** Σ mass·|value|. */
	readonly mass: number;
	/** Σ effort over the touched. */
	readonly effort: number;
}

/** The best with at most `touches` touched adjusters, and how far that is proved. */
export type ChoiceForTouches =
	| {
			readonly state: 'found';
			readonly touches: number;
			readonly best: ChoiceLayout;
			/** The `keepBest` best layouts, best first; `best` is the first. */
			readonly layouts: readonly ChoiceLayout[];
			/** No layout with at most this many touches is lower (within a relative 1e-9). */
			readonly lowerBound: number;
			/** (value − lowerBound) / value, 0 when proved. */
			readonly gap: number;
			/** The search for this number of touches is complete: the list `layouts` is exact, ties included. */
			readonly proved: boolean;
			readonly nodes: number;
	  }
	| {
			/** Nothing found. `proved`: no layout meets the constraints; otherwise the search was ended too early. */
			readonly state: 'none';
			readonly touches: number;
			readonly lowerBound: number;
			readonly proved: boolean;
			readonly nodes: number;
	  };

export interface ChoiceOutcome {
	/** One entry for each number of touches asked for, ascending (never more than there are variables). */
	readonly byTouches: readonly ChoiceForTouches[];
	readonly proved: boolean;
	readonly nodes: number;
}
