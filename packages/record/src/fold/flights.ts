import type { EntryOf } from '@stillmast/formats/entry';
import { groupBy } from './group-by.js';
import type { Settler } from './settler.js';
import type { FlightState, RunState, Settled } from './state.js';

type UseOfRun = Extract<EntryOf<'use'>, { readonly what: 'run' }>;
/** Entries that say something about a flight as such. */
export type FlightEntry = EntryOf<'flight'> | EntryOf<'step'> | EntryOf<'run'> | UseOfRun;

/**
 * One flight with its steps and runs.
 * @param runs numbers of all its runs: a run is there once it was begun, ended, described, or a reading belongs to it
 */
export function readFlight(
	flight: number,
	entries: readonly FlightEntry[],
	runs: readonly number[],
	settler: Settler,
): FlightState {
	const halves = entries.filter((one) => one.kind === 'flight');
	const steps = groupBy(
		entries.filter((one) => one.kind === 'step'),
		({ step }) => step,
	);
	const ofRun = groupBy(
		entries.filter((one) => one.kind === 'run' || one.kind === 'use'),
		({ run }) => String(run),
	);
	return {
		flight,
		opened: readHalf(halves, 'opened', settler),
		closed: readHalf(halves, 'closed', settler),
		steps: new Map([...steps].map(([step, group]) => [step, settler.statement<'step'>(group, ['state'])])),
		runs: [...runs].sort((a, b) => a - b).map((run) => readRun(flight, run, ofRun.get(String(run)) ?? [], settler)),
	};
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

function readRun(
	flight: number,
	run: number,
	entries: readonly (EntryOf<'run'> | UseOfRun)[],
	settler: Settler,
): RunState {
	const told = entries.filter((one) => one.kind === 'run');
	const half = (state: 'begun' | 'ended') => {
		const group = told.filter((one) => one.state === state);
		return group.length === 0 ? null : settler.statement<'run'>(group, ['regime']);
	};
	const contexts = groupBy(
		told.filter((one) => one.state === 'context'),
		({ regime }) => regime ?? '',
	);
	return {
		flight,
		run,
		begun: half('begun'),
		ended: half('ended'),
		contexts: new Map([...contexts].map(([id, group]) => [id, settler.statement<'run'>(group, ['context'])])),
		excluded: readExcluded(
			entries.filter((one) => one.kind === 'use'),
			settler,
		),
	};
}

/** A run counts for learning unless the newest word says not; of two that do not know each other, leaving out holds. */
function readExcluded(uses: readonly UseOfRun[], settler: Settler): Map<string, UseOfRun> {
	const excluded = new Map<string, UseOfRun>();
	for (const [rotor, entries] of groupBy(uses, (one) => one.rotor)) {
		const out = settler.latest(entries).find(({ include }) => !include);
		if (out !== undefined) excluded.set(rotor, out);
	}
	return excluded;
}
