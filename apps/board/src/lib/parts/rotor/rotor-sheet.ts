import type { TurningSense } from './polar.js';
import type { Covariance } from './scatter.js';

/** A setting as it is on the aircraft, and as somebody tries it on the board (equal when nothing is tried). */
export interface TriedSetting {
	readonly onAircraft: number;
	readonly tried: number;
}

/** A blade with what it carries. `null` where the type has no such adjuster. */
export interface RotorBlade {
	readonly id: string;
	readonly letter: string;
	/** Name painted on this aircraft: "red sleeve". */
	readonly name: string | null;
	readonly passAngleDeg: number;
	readonly plates: TriedSetting | null;
	readonly tabDeg: TriedSetting | null;
	readonly linkFlats: TriedSetting | null;
}

/** A reading with its scatter; amplitudes in the sheet's unit. `phaseDeg` null: amplitude only. */
export interface RotorReading {
	readonly id: string;
	/** Which run: "run 2". */
	readonly label: string;
	readonly amplitude: number;
	readonly phaseDeg: number | null;
	readonly covariance: Covariance;
}

/** What one step at a blade does to the reading, learned on this aircraft or taken from the type table. */
export interface RotorBarb {
	readonly bladeId: string;
	readonly amplitude: number;
	readonly phaseDeg: number;
	readonly basis: 'learned' | 'table';
}

/** One regime at one station, seen on the rotor. */
export interface RotorSheet {
	readonly id: string;
	/** "hover lateral". */
	readonly title: string;
	readonly unit: string;
	readonly digits: number;
	readonly turns: TurningSense;
	readonly seen: 'from-above' | 'from-side';
	readonly blades: readonly RotorBlade[];
	readonly limit: number;
	readonly goal: number | null;
	/** Oldest first. */
	readonly readings: readonly RotorReading[];
	readonly predicted: RotorReading | null;
	readonly barbs: readonly RotorBarb[];
}

/** Kinds of adjuster a spoke can carry. */
export type RotorAdjuster = 'plate' | 'tab' | 'link';
