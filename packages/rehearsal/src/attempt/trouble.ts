import type { GaugeName } from './task.js';

/** What an instructor lets go wrong beside the day and the engine. May change at any step. */
export interface Trouble {
	/** Once-per-rev vibration that a fault adds, ips. */
	readonly vibrationIps: number;
	/** The look-ahead warning says nothing. */
	readonly isWarningSilent: boolean;
	/** This gauge stays where it was. */
	readonly frozenGauge: GaugeName | null;
}

export const noTrouble: Trouble = { vibrationIps: 0, isWarningSilent: false, frozenGauge: null };

/** Vibration of a sound rotor in the hover at full power, and at flat pitch: invented, a rotor inside its goal. */
const soundIps = { flat: 0.04, full: 0.08 } as const;

/** Once-per-rev vibration with this much torque; a fault grows with the square of rotor speed, as unbalance does. */
export function vibrationIps(torquePct: number, nrPct: number, { vibrationIps: fault }: Trouble): number {
	const share = Math.min(1.2, Math.max(0, torquePct / 100));
	return soundIps.flat + (soundIps.full - soundIps.flat) * share + fault * (nrPct / 100) ** 2;
}
