import { mmPerInch } from '@stillmast/core/units';
import { numberText } from './number.js';
import { type VibrationUnit, writing } from './writing.svelte.js';

/** How levels of a unit are written: 0.01 ips is 0.254 mm/s, so that one figure less shows as much. */
interface VibrationScale {
	readonly unit: VibrationUnit;
	readonly digits: number;
	/** Decimals of a limit, which is never rounded by as much as a reading can show. */
	readonly limitDigits: number;
	/** One ips in this unit; exact, since the inch is 25.4 mm by definition. */
	readonly perIps: number;
	/** Highest level a person can type. */
	readonly most: number;
}

const scales: Readonly<Record<VibrationUnit, VibrationScale>> = {
	ips: { unit: 'ips', digits: 2, limitDigits: 2, perIps: 1, most: 9.99 },
	'mm/s': { unit: 'mm/s', digits: 1, limitDigits: 2, perIps: mmPerInch, most: 253.7 },
};

/** The scale of this device. */
export function vibrationScale(): VibrationScale {
	return scales[writing.vibrationUnit];
}

/** "0.24 ips" or "6.1 mm/s", as this device writes levels. */
export function vibrationText(ips: number): string {
	const { unit, digits, perIps } = vibrationScale();
	return `${numberText(ips * perIps, { digits })} ${unit}`;
}

/** A limit: "0.20 ips" or "5.08 mm/s". */
export function vibrationLimitText(ips: number): string {
	const { unit, limitDigits, perIps } = vibrationScale();
	return `${numberText(ips * perIps, { digits: limitDigits })} ${unit}`;
}

/** "0.24 ips 118°", or the level alone where no phase was read. */
export function phasorText(ips: number, phaseDeg: number | null): string {
	return phaseDeg === null ? vibrationText(ips) : `${vibrationText(ips)} ${numberText(phaseDeg, { digits: 0 })}\u00b0`;
}
