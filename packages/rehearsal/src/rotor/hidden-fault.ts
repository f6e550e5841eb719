import { type Draw, normal } from '../random.js';

/** What the rotor's table says, as in type data. */
export interface VibrationTable {
	readonly channels: readonly { readonly id: string }[];
	readonly adjusters: readonly {
		readonly id: string;
		readonly kind: string;
		readonly passAngleDeg: number;
		readonly step: number;
		readonly min: number;
		readonly max: number;
	}[];
	readonly coefficients: readonly {
		readonly channel: string;
		readonly kind: string;
		readonly amplitudeIpsPerUnit: number;
		readonly phaseDeg: number;
	}[];
}

/** How far this tail is from its table, and how much a reading scatters. Standard deviations. */
export interface TailSpread {
	readonly kindGain: number;
	readonly kindPhaseDeg: number;
	readonly channelGain: number;
	/** Of the fault, in steps of each adjuster. */
	readonly faultSteps: number;
	/** ips per axis that no adjuster reaches. */
	readonly remainderIps: number;
	readonly readingIps: number;
	/** Share of that scatter's variance common to all channels of a run. */
	readonly commonShare: number;
	/** A tab keeps this share of what it is bent, the rest springs back. */
	readonly tabKept: number;
}

export const usualTail: TailSpread = {
	kindGain: 0.3,
	kindPhaseDeg: 20,
	channelGain: 0.1,
	faultSteps: 2.2,
	remainderIps: 0.015,
	readingIps: 0.012,
	commonShare: 0.3,
	tabKept: 0.9,
};

export interface RotorReadingIps {
	readonly channel: string;
	readonly amplitudeIps: number;
	/** Lag phase, 0 to 360. */
	readonly phaseDeg: number;
}

interface Vector {
	readonly re: number;
	readonly im: number;
}

/** A rotor with a fault that nobody is told, and answers that differ from its table. */
export class HiddenRotor {
	readonly #table: VibrationTable;
	readonly #spread: TailSpread;
	readonly #draw: Draw;
	readonly #response: ReadonlyMap<string, Vector>;
	readonly #rest: ReadonlyMap<string, Vector>;

	constructor(table: VibrationTable, spread: TailSpread, draw: Draw) {
		this.#table = table;
		this.#spread = spread;
		this.#draw = draw;
		this.#response = drawResponses(table, spread, draw);
		this.#rest = this.#drawRest();
	}

	/**
	 * One run: every channel at these absolute settings, a missing one at 0.
	 * @param onAircraft settings as they were made; what springs back is the rotor's own affair
	 */
	read(onAircraft: Readonly<Record<string, number>>): RotorReadingIps[] {
		const { readingIps, commonShare } = this.#spread;
		const common = this.#vector(readingIps * Math.sqrt(commonShare));
		return this.#table.channels.map(({ id }) => {
			const own = this.#vector(readingIps * Math.sqrt(1 - commonShare));
			const level = this.#level(id, onAircraft);
			const re = level.re + common.re + own.re;
			const im = level.im + common.im + own.im;
			const phaseDeg = ((Math.atan2(im, re) * 180) / Math.PI + 360) % 360;
			return { channel: id, amplitudeIps: Math.hypot(re, im), phaseDeg };
		});
	}

	#level(channel: string, settings: Readonly<Record<string, number>>): Vector {
		const rest = this.#rest.get(channel) ?? { re: 0, im: 0 };
		return this.#table.adjusters.reduce((sum, { id, kind }) => {
			const kept = kind === 'tab' ? this.#spread.tabKept : 1;
			return plus(sum, this.#response.get(`${channel} ${id}`), kept * (settings[id] ?? 0));
		}, rest);
	}

	/** What is there with every adjuster at 0: a fault that the adjusters make up for, and a remainder they don't. */
	#drawRest(): ReadonlyMap<string, Vector> {
		const { faultSteps, remainderIps } = this.#spread;
		const fault = this.#table.adjusters.map(({ id, step }) => ({ id, units: faultSteps * step * normal(this.#draw) }));
		return new Map(
			this.#table.channels.map(({ id }) => {
				const start = this.#vector(remainderIps);
				return [id, fault.reduce((sum, one) => plus(sum, this.#response.get(`${id} ${one.id}`), one.units), start)];
			}),
		);
	}

	#vector(sd: number): Vector {
		return { re: sd * normal(this.#draw), im: sd * normal(this.#draw) };
	}
}

function drawResponses(table: VibrationTable, spread: TailSpread, draw: Draw): Map<string, Vector> {
	const kinds = [...new Set(table.adjusters.map(({ kind }) => kind))];
	const ofKind = new Map(
		kinds.map((kind) => [
			kind,
			{ gain: 1 + spread.kindGain * normal(draw), turnDeg: spread.kindPhaseDeg * normal(draw) },
		]),
	);
	const responses = new Map<string, Vector>();
	for (const { channel, kind, amplitudeIpsPerUnit, phaseDeg } of table.coefficients) {
		const channelGain = 1 + spread.channelGain * normal(draw);
		const { gain, turnDeg } = ofKind.get(kind) ?? { gain: 1, turnDeg: 0 };
		for (const adjuster of table.adjusters.filter((one) => one.kind === kind)) {
			const angle = ((phaseDeg + turnDeg + adjuster.passAngleDeg) * Math.PI) / 180;
			const size = amplitudeIpsPerUnit * Math.abs(gain) * Math.abs(channelGain);
			responses.set(`${channel} ${adjuster.id}`, { re: size * Math.cos(angle), im: size * Math.sin(angle) });
		}
	}
	return responses;
}

function plus(sum: Vector, by: Vector | undefined, times: number): Vector {
	return by === undefined ? sum : { re: sum.re + times * by.re, im: sum.im + times * by.im };
}
