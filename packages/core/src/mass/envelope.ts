import { fail, ok, type Result } from '../result/index.js';
import { type FuelBurn, type LoadItem, type Loading, type LoadingProblem, loadingAfter, loadingOf } from './loading.js';

/** A corner of the approved envelope. */
export interface EnvelopePoint {
	readonly cgM: number;
	readonly massKg: number;
}

/** Corners in order round the polygon, three at least; the border is inside. */
export type Envelope = readonly EnvelopePoint[];

export interface PlacedLoading extends Loading {
	readonly side: 'inside' | 'outside';
}

/** Whether a loading lies in the envelope; on its border is inside. Problems: `bad-envelope`. @rule AIR-9 */
export function placeIn(envelope: Envelope, loading: Loading): Result<PlacedLoading, LoadingProblem> {
	if (envelope.length < 3 || !envelope.every(({ cgM, massKg }) => Number.isFinite(cgM) && Number.isFinite(massKg))) {
		return fail({ code: 'bad-envelope', found: envelope.length, needed: 'three corners or more, all numbers' });
	}
	return ok({ ...loading, side: holds(envelope, loading) ? 'inside' : 'outside' });
}

export interface FlightLoading {
	readonly takeOff: PlacedLoading;
	readonly landing: PlacedLoading;
	/** Whether both, and every mass between them, lie inside. */
	readonly side: 'inside' | 'outside';
}

/** Steps of the burn that are looked at between take-off and landing: a bent border can lie between two good ends. */
const burnSteps = 50;

/** Take-off, landing and the way between them against the envelope. Problems: `LoadingProblem`. @rule AIR-9 */
export function flightLoading(
	envelope: Envelope,
	items: readonly LoadItem[],
	burn: FuelBurn,
	flightH: number,
): Result<FlightLoading, LoadingProblem> {
	const placed: PlacedLoading[] = [];
	for (let step = 0; step <= burnSteps; step++) {
		const loading = step === 0 ? loadingOf(items) : loadingAfter(items, burn, (flightH * step) / burnSteps);
		if (!loading.ok) return loading;
		const place = placeIn(envelope, loading.value);
		if (!place.ok) return place;
		placed.push(place.value);
	}
	const [takeOff, landing] = [placed[0], placed.at(-1)];
	if (takeOff === undefined || landing === undefined) throw new RangeError('a flight has two ends');
	return ok({ takeOff, landing, side: placed.every(({ side }) => side === 'inside') ? 'inside' : 'outside' });
}

function holds(envelope: Envelope, { cgM, massKg }: EnvelopePoint): boolean {
	let crossings = 0;
	for (const [at, from] of envelope.entries()) {
		const to = envelope[(at + 1) % envelope.length] ?? from;
		const across = (to.cgM - from.cgM) * (massKg - from.massKg) - (to.massKg - from.massKg) * (cgM - from.cgM);
		const size = Math.abs(to.cgM - from.cgM) * Math.abs(massKg) + Math.abs(to.massKg - from.massKg) * Math.abs(cgM);
		// A point on the border may miss it by the rounding of its own sum.
		if (Math.abs(across) <= 1e-12 * size && between(from, to, cgM, massKg)) return true;
		if (from.massKg > massKg !== to.massKg > massKg) {
			const borderCgM = from.cgM + ((massKg - from.massKg) / (to.massKg - from.massKg)) * (to.cgM - from.cgM);
			if (borderCgM > cgM) crossings++;
		}
	}
	return crossings % 2 === 1;
}

function between(from: EnvelopePoint, to: EnvelopePoint, cgM: number, massKg: number): boolean {
	const within = (a: number, b: number, x: number): boolean =>
		x >= Math.min(a, b) - 1e-12 * Math.abs(x) && x <= Math.max(a, b) + 1e-12 * Math.abs(x);
	return within(from.cgM, to.cgM, cgM) && within(from.massKg, to.massKg, massKg);
}
