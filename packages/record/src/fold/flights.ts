import type { EntryOf } from '@stillmast/formats/entry';
import { groupBy, type OfKind, type Settler } from './groups.js';
import type { FlightState, RunState, Settled } from './state.js';

/** Flights with their steps and runs, in order of number; a flight is there once anything belongs to it. */
export function readFlights(of: OfKind, settler: Settler): FlightState[] {
	const flights = groupBy(of.flight, ({ flight }) => String(flight));
	const steps = groupBy(of.step, ({ flight }) => String(flight));
	const runs = readRuns(of, settler);
	const readings = [...of.reading, ...of.hold, ...of.mark, ...of.attempt, ...of.trace, ...of.witness, ...of.memory];
	const numbers = new Set([...of.flight, ...of.step, ...of.run, ...of.vibration, ...readings].map((one) => one.flight));
	return [...numbers]
		.sort((a, b) => a - b)
		.map((flight) => ({
			flight,
			opened: readHalf(flights.get(String(flight)) ?? [], 'opened', settler),
			closed: readHalf(flights.get(String(flight)) ?? [], 'closed', settler),
			steps: readSteps(steps.get(String(flight)) ?? [], settler),
			runs: runs.filter((run) => run.flight === flight),
		}));
}

function readHalf(
	entries: readonly EntryOf<'flight'>[],
	state: 'opened' | 'closed',
	settler: Settler,
): Settled<'flight'> | null {
	const half = entries.filter((one) => one.state === state);
	if (half.length === 0) return null;
	return settler.statement<'flight'>(half, ['crew', 'massKg', 'cgMm', 'fuelKg', 'weather']);
}

function readSteps(entries: readonly EntryOf<'step'>[], settler: Settler): Map<string, Settled<'step'>> {
	const groups = groupBy(entries, ({ step }) => step);
	return new Map([...groups].map(([step, group]) => [step, settler.statement<'step'>(group, ['state'])]));
}

/** A run is there once it was begun, ended, described, or a reading belongs to it. */
function readRuns(of: OfKind, settler: Settler): RunState[] {
	const keyOf = (one: { readonly flight: number; readonly run: number | null }) => `${one.flight} ${one.run}`;
	const told = groupBy(of.run, keyOf);
	const uses = of.use.flatMap((one) => (one.what === 'run' ? [one] : []));
	const used = groupBy(uses, keyOf);
	const measured = [...of.run, ...of.vibration, ...of.reading].filter(({ run }) => run !== null);
	const runs = [...groupBy<{ readonly flight: number; readonly run: number | null }>(measured, keyOf)];
	return runs
		.map(([key, [first]]) => {
			const entries = told.get(key) ?? [];
			const half = (state: 'begun' | 'ended') => {
				const group = entries.filter((one) => one.state === state);
				return group.length === 0 ? null : settler.statement<'run'>(group, ['regime']);
			};
			const contexts = groupBy(
				entries.filter((one) => one.state === 'context'),
				({ regime }) => regime ?? '',
			);
			return {
				flight: first?.flight ?? 0,
				run: first?.run ?? 0,
				begun: half('begun'),
				ended: half('ended'),
				contexts: new Map([...contexts].map(([id, group]) => [id, settler.statement<'run'>(group, ['context'])])),
				excluded: readExcluded(used.get(key) ?? [], settler),
			};
		})
		.sort((a, b) => a.flight - b.flight || a.run - b.run);
}

type UseOfRun = Extract<EntryOf<'use'>, { readonly what: 'run' }>;

/** A run counts for learning unless the newest word says not; of two that do not know each other, leaving out holds. */
function readExcluded(uses: readonly UseOfRun[], settler: Settler): Map<string, UseOfRun> {
	const excluded = new Map<string, UseOfRun>();
	for (const [rotor, entries] of groupBy(uses, (one) => one.rotor)) {
		const out = settler.latest(entries).find(({ include }) => !include);
		if (out !== undefined) excluded.set(rotor, out);
	}
	return excluded;
}
