import type { KnownEntry } from '@stillmast/formats/entry';
import { resultOf } from './measure-again.js';

/** Counts by two keys, of which nothing is left when the count comes back to 0. */
class Tally<A, B> {
	readonly #counts = new Map<A, Map<B, number>>();

	/** @returns true when the pair has come or gone by this */
	add(a: A, b: B, by: 1 | -1): boolean {
		const counts = this.#counts.get(a) ?? new Map<B, number>();
		const count = (counts.get(b) ?? 0) + by;
		if (count === 0) counts.delete(b);
		else counts.set(b, count);
		if (counts.size === 0) this.#counts.delete(a);
		else this.#counts.set(a, counts);
		return count === 0 || (count === 1 && by === 1);
	}

	of(a: A): B[] {
		return [...(this.#counts.get(a)?.keys() ?? [])];
	}

	keys(): Iterable<A> {
		return this.#counts.keys();
	}
}

/** Stands for a flight itself among its runs, which are numbered from 1. */
const NO_RUN = 0;

/** Which flights and runs there are, and in which flights each result was measured, told by entries that count. */
export class Presence {
	readonly #runs = new Tally<number, number>();
	readonly #results = new Tally<string, number>();
	readonly #lastFlights = new Map<string, number>();

	/** @returns the flight whose runs, or whose being there, changed by this entry; null if none */
	add(entry: KnownEntry, by: 1 | -1): number | null {
		if (!('flight' in entry)) return null;
		const { flight } = entry;
		const run = 'run' in entry && typeof entry.run === 'number' && showsRun(entry) ? entry.run : NO_RUN;
		const result = resultOf(entry);
		if (result !== null && this.#results.add(result, flight, by)) this.#setLastFlight(result);
		const flightChanged = showsFlight(entry) && this.#runs.add(flight, NO_RUN, by);
		const runChanged = run !== NO_RUN && this.#runs.add(flight, run, by);
		return flightChanged || runChanged ? flight : null;
	}

	hasFlight(flight: number): boolean {
		return this.#runs.of(flight).length > 0;
	}

	runsOf(flight: number): number[] {
		return this.#runs.of(flight).filter((run) => run !== NO_RUN);
	}

	/** For each result the last flight in which it was measured. */
	lastFlights(): ReadonlyMap<string, number> {
		return this.#lastFlights;
	}

	#setLastFlight(result: string): void {
		const flights = this.#results.of(result);
		if (flights.length === 0) this.#lastFlights.delete(result);
		else this.#lastFlights.set(result, Math.max(...flights));
	}
}

/** Plans, decisions and reviews may speak of flights that are not flown yet. */
function showsFlight({ kind }: KnownEntry): boolean {
	return !['review', 'decision', 'use', 'stopped'].includes(kind);
}

function showsRun({ kind }: KnownEntry): boolean {
	return kind === 'run' || kind === 'vibration' || kind === 'reading';
}
