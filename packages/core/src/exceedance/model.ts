/** Limits as data, the shape of `stillmast/limits@1` without its envelope. */

/** What a parameter or state must be for a line to hold; everything given must hold together, ends included. */
export interface LineCondition {
	readonly atLeast?: number | undefined;
	readonly atMost?: number | undefined;
	readonly between?: readonly [number, number] | undefined;
	readonly equals?: number | string | boolean | undefined;
}

export interface BoundTable {
	readonly parameter: string;
	readonly points: readonly (readonly [number, number])[];
}

/** Reads: above `above` (or below, between, above a table) while `when` holds, at most `maxSeconds`; 0 means never. */
export interface Line {
	readonly id: string;
	readonly above?: number | undefined;
	readonly below?: number | undefined;
	readonly between?: readonly [number, number] | undefined;
	readonly aboveByTable?: BoundTable | undefined;
	readonly maxSeconds: number;
	readonly when?: Readonly<Record<string, LineCondition>> | undefined;
	readonly family?: string | undefined;
	/** Higher governs. Without ranks the bound further out governs. */
	readonly rank?: number | undefined;
	readonly timeIs?: 'each' | 'sum-of-flight' | undefined;
	/** Times above the line that are closer together than this are added. */
	readonly resetAfterS?: number | undefined;
	/** How often the line may be passed, however briefly. */
	readonly maxCount?: number | undefined;
	readonly reference: string;
}

export interface LimitedParameter {
	readonly id: string;
	readonly unit?: string | undefined;
	/** Fastest rate the indication can have, its unit per second. */
	readonly slewPerSecond?: number | undefined;
	/** Sampling period of its own column. */
	readonly periodS?: number | undefined;
	/** Step of the indication. */
	readonly resolution?: number | undefined;
	/** No time on either side of a bound is shorter; 0.5 s unless stated. */
	readonly shortestS?: number | undefined;
	readonly lines?: readonly Line[] | undefined;
}

export interface Limits {
	readonly parameters: readonly LimitedParameter[];
}

export const defaultShortestS = 0.5;

/** Least and most. */
export type Range = readonly [number, number];

export interface Episode {
	readonly parameter: string;
	readonly line: string;
	readonly family: string | null;
	readonly startS: Range;
	readonly endS: Range;
	/** Of the longest unbroken time beyond the line within the episode. */
	readonly durationS: Range;
	/** What was surely reached, and how far it may have gone; null where no slew bounds it. Falling for `below` lines. */
	readonly peak: readonly [number, number | null];
	/** Furthest valid sample of the episode; null when none was beyond the line. */
	readonly seen: number | null;
	readonly verdict: 'proved' | 'possible';
	/** The trace begins or ends within the episode: it may be longer than what was recorded. */
	readonly cutByTrace: boolean;
	readonly reference: string;
	/** The flight phase recorded at the start, where the trace has a `phase` column. */
	readonly phase: string | null;
}

export interface Unseen {
	readonly line: string;
	readonly fromS: number;
	readonly toS: number;
	/** Furthest value the slew allows; null where none is stated. */
	readonly couldReach: number | null;
	readonly reason: 'gap' | 'slow-sampling';
}

export interface LineTotals {
	readonly timeS: Range;
	readonly count: Range;
}

export interface Assumption {
	readonly code: 'shortest' | 'state-held' | 'column-missing' | 'unit-missing' | 'no-slew';
	readonly parameter: string;
	readonly found: number | string | null;
	/** What would settle it; null where nothing is missing. */
	readonly needed: string | null;
	readonly words: string;
}

export interface Findings {
	readonly format: 'stillmast/findings@1';
	/** Proved and possible ones, in order of time. */
	readonly episodes: readonly Episode[];
	/** Times beyond a line that surely stayed within what it allows. */
	readonly within: readonly Omit<Episode, 'verdict'>[];
	readonly governing: Readonly<Record<string, string | null>>;
	readonly governingProved: Readonly<Record<string, string | null>>;
	readonly governingByFamily: Readonly<Record<string, Readonly<Record<string, string | null>>>>;
	readonly totals: Readonly<Record<string, LineTotals>>;
	readonly unseen: readonly Unseen[];
	readonly assumptions: readonly Assumption[];
}
