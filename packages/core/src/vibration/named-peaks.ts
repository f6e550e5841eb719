import type { Spectrum } from './spectrum.js';

/** A frequency of the type that has a name, such as "main rotor once per rev". */
export interface NamedFrequency {
	readonly name: string;
	readonly frequencyHz: number;
}

export interface SpectrumPeak {
	/** Where the peak is, between the lines by a parabola through the logarithms. */
	readonly frequencyHz: number;
	readonly amplitude: number;
	/** The nearest named frequency within a line and a half; null when none is. */
	readonly name: string | null;
}

/** A peak this near to a named frequency, in lines, takes its name: half the main lobe of the Hann window. */
const nearLines = 1.5;

/**
 * The highest peaks of a spectrum, largest first, named against the type's frequencies. What has no name is listed as
 * well: that is often what is looked for.
 * @param most how many to give
 */
export function namedPeaks(
	spectrum: Spectrum,
	names: readonly NamedFrequency[],
	most: number,
): readonly SpectrumPeak[] {
	const { amplitudes, stepHz } = spectrum;
	const peaks: SpectrumPeak[] = [];
	for (let k = 1; k < amplitudes.length - 1; k++) {
		const here = amplitudes[k] as number;
		const before = amplitudes[k - 1] as number;
		const after = amplitudes[k + 1] as number;
		if (!(here > before && here >= after && here > 0)) continue;
		const offset = before > 0 && after > 0 ? vertex(Math.log(before), Math.log(here), Math.log(after)) : 0;
		const frequencyHz = (k + offset) * stepHz;
		peaks.push({ frequencyHz, amplitude: here, name: nearest(frequencyHz, names, nearLines * stepHz) });
	}
	return peaks.sort((a, b) => b.amplitude - a.amplitude).slice(0, most);
}

/** Place of the top of the parabola through three values at −1, 0 and 1. */
function vertex(before: number, here: number, after: number): number {
	const bend = before - 2 * here + after;
	return bend === 0 ? 0 : (0.5 * (before - after)) / bend;
}

function nearest(frequencyHz: number, names: readonly NamedFrequency[], within: number): string | null {
	let name: string | null = null;
	let closest = within;
	for (const named of names) {
		const away = Math.abs(named.frequencyHz - frequencyHz);
		if (away <= closest) {
			closest = away;
			name = named.name;
		}
	}
	return name;
}
