import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/**
 * An invented three-blade rotor for the browser tests: it answers changes 24 % stronger and 14 degrees later than the
 * demo type's table, and its fault is one that the allowed changes can remove. No scatter: what is under test here is
 * the board, not the solver.
 */

interface Table {
	readonly rotors: readonly {
		readonly id: string;
		readonly channels: readonly { readonly id: string }[];
		readonly adjusters: readonly { readonly id: string; readonly kind: string; readonly passAngleDeg: number }[];
		readonly coefficients: readonly {
			readonly channel: string;
			readonly kind: string;
			readonly amplitudeIpsPerUnit: number;
			readonly phaseDeg: number;
		}[];
	}[];
}

const typeFile = join(import.meta.dirname, '..', '..', 'demo-scenarios', 'after-gearbox-smoothing', 'type.json');
const table = JSON.parse(readFileSync(typeFile, 'utf8')) as Table;
const gain = 1.24;
const laterDeg = 14;
const inBalance: Readonly<Record<string, number>> = { 'plate-A': 2, 'plate-C': 4, 'tab-B': 1.5, 'link-C': -1 };

export interface SimulatedReading {
	readonly channel: string;
	/** As written on the pad: two decimals. */
	readonly amplitude: string;
	readonly phase: string;
}

/** What every main-rotor channel reads at these absolute settings; a missing setting is 0. */
export function readingsAt(settings: Readonly<Record<string, number>>): SimulatedReading[] {
	const rotor = table.rotors.find(({ id }) => id === 'main');
	if (rotor === undefined) throw new Error('the demo type has no main rotor');
	return rotor.channels.map(({ id: channel }) => {
		let re = 0;
		let im = 0;
		for (const adjuster of rotor.adjusters) {
			const effect = rotor.coefficients.find((one) => one.channel === channel && one.kind === adjuster.kind);
			if (effect === undefined) throw new Error(`no coefficient for ${channel} and ${adjuster.kind}`);
			const off = (settings[adjuster.id] ?? 0) - (inBalance[adjuster.id] ?? 0);
			const angle = ((effect.phaseDeg + adjuster.passAngleDeg + laterDeg) * Math.PI) / 180;
			re += off * gain * effect.amplitudeIpsPerUnit * Math.cos(angle);
			im += off * gain * effect.amplitudeIpsPerUnit * Math.sin(angle);
		}
		const phase = Math.round(((Math.atan2(im, re) * 180) / Math.PI + 360) % 360) % 360;
		return { channel, amplitude: Math.hypot(re, im).toFixed(2), phase: String(phase) };
	});
}
