import { tidyStep } from '../plot/axis.js';
import type { RotorReading, RotorSheet } from './rotor-sheet.js';
import { scatterEllipse } from './scatter.js';

/** Radius on the sheet that stands for the full scale, in sheet units. */
export const plotRadius = 142;

/** A ruler tick: amplitude and its place along the ruler, in sheet units. */
export interface RulerTick {
	readonly amplitude: number;
	readonly along: number;
}

/**
 * Full scale that holds every limit, reading and prediction of all sheets, so that sheets in a row compare.
 * Rounded up to a tidy number of the ruler's steps.
 */
export function sharedFullScale(sheets: readonly RotorSheet[]): number {
	const most = Math.max(
		...sheets.flatMap((sheet) => [
			sheet.limit * 1.35,
			...[...sheet.readings, ...(sheet.predicted === null ? [] : [sheet.predicted])].map(farEdge),
		]),
	);
	const step = tidyStep(most, 5);
	return Math.ceil(most / step - 1e-9) * step;
}

/** Ticks of the ruler, 0 to full scale. */
export function rulerTicks(fullScale: number): readonly RulerTick[] {
	const step = tidyStep(fullScale, 5);
	const count = Math.floor(fullScale / step + 1e-9);
	return Array.from({ length: count + 1 }, (_, index) => ({
		amplitude: index * step,
		along: (index * step * plotRadius) / fullScale,
	}));
}

function farEdge(reading: RotorReading): number {
	return reading.amplitude + (reading.phaseDeg === null ? 0 : scatterEllipse(reading.covariance).long);
}
