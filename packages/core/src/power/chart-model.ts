import type { Problem } from '../result/index.js';
import type { Interpolation } from './curve.js';

/** Numbers in lists within lists, one level for each axis of a grid. */
export type NestedNumbers = readonly number[] | readonly NestedNumbers[];

export interface ChartResult {
	readonly id: string;
	/** `max`: the reading must not be above the chart's value; `min`: not below it. */
	readonly sense: 'max' | 'min';
	/** Exactly on the limit is inside with `at-most`, the default, and outside with `below`. */
	readonly rule?: 'at-most' | 'below' | undefined;
	readonly unit?: string | undefined;
	/** A margin above this is rather a wrong indication than a good engine; from the type's data. */
	readonly tooGoodMargin?: number | undefined;
}

export interface GridChart {
	readonly kind: 'grid';
	readonly result: ChartResult;
	/** One to four, each with ascending values. */
	readonly axes: readonly { readonly id: string; readonly values: readonly number[] }[];
	/** Lists within lists in the order of `axes`. */
	readonly values: NestedNumbers;
	readonly interpolation: Interpolation;
	readonly reference?: string | undefined;
}

export interface ChartCurve {
	readonly family: number;
	/** Points with ascending first number. */
	readonly points: readonly (readonly [number, number])[];
}

export interface ChartStage {
	/** A condition, or an earlier stage's `out`. */
	readonly in: string;
	/** What tells the curves apart. */
	readonly family: string;
	readonly out: string;
	/** Ascending by family. */
	readonly curves: readonly ChartCurve[];
}

/** A nomogram: each stage is read off its curves and fed into the next. */
export interface ChainChart {
	readonly kind: 'chain';
	readonly result: ChartResult;
	readonly stages: readonly ChartStage[];
	readonly interpolation?: Interpolation | undefined;
	readonly reference?: string | undefined;
}

export type Chart = GridChart | ChainChart;

/** What was entered into a chart, by the id of axis, stage input or family. */
export type Quantities = Readonly<Record<string, number>>;

/** Bounds of one axis of a chart where it was entered. */
export interface AxisRange {
	readonly axis: string;
	readonly atLeast: number;
	readonly atMost: number;
}

export type ChartProblem =
	/** A value beyond the printed chart; nothing is extrapolated. */
	| (Problem & { readonly code: 'outside-chart'; readonly found: number; readonly needed: AxisRange })
	/** A quantity that the chart is entered with was not given. */
	| (Problem & { readonly code: 'missing-condition'; readonly needed: string });
