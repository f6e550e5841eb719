import type { PadRule } from '$lib/parts/pad/pad.view.js';
import { vibrationScale } from '$lib/words/vibration.js';
import { writing } from '$lib/words/writing.svelte.js';

/** What a number is written into: a reading of its own, or a channel of a rotor with amplitude and phase. */
export type Ask =
	| { readonly kind: 'vibration'; readonly rotor: string; readonly channel: string }
	| { readonly kind: 'number'; readonly subject: string; readonly unit: string; readonly resolution: number };

/** Range and decimals of a field's number, and what the pad asks for first. */
export function padRuleOf(ask: Ask, part: 'amplitude' | 'phase'): PadRule {
	const { mark } = writing;
	if (ask.kind === 'number') {
		const low = Object.hasOwn(lowestByUnit, ask.unit) ? (lowestByUnit[ask.unit] ?? 0) : 0;
		return { low, high: 100_000, digits: digitsOf(ask.resolution), unit: ask.unit, mark };
	}
	if (part === 'phase') return { low: 0, high: 359, digits: 0, unit: '\u00b0', mark };
	const { unit, digits, most } = vibrationScale();
	return { low: 0, high: most, digits, unit, mark };
}

/** Units in which a quantity can lie below zero, and how far. */
const lowestByUnit: Readonly<Record<string, number>> = { '\u00b0C': -80, ft: -2000 };

/** Decimals in which a step of the instrument can be written: 0.5 asks for one, 20 for none. */
export function digitsOf(resolution: number): number {
	return Math.max(0, Math.ceil(-Math.log10(resolution) - 1e-9));
}
