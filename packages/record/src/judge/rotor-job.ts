import type { Reading, RotorProblem, Run } from '@stillmast/core/balance';
import type { RotorData } from '@stillmast/formats/type-data';
import type { FlightState, RecordState, RunState, VibrationGroup } from '../fold/state.js';
import { settingsBefore } from './settings-before.js';

/** One run of the record as the solver gets it, and what could not be handed on. */
export interface RotorJobRun {
	readonly id: string;
	readonly flight: number;
	readonly run: number;
	readonly settings: Readonly<Record<string, number>>;
	/** Channels with readings that differ and are not agreed: the solver gets none of them. */
	readonly differing: readonly string[];
	/** Adjusters whose settings differ and are not agreed: the run cannot be used until they are. */
	readonly settingsDiffering: readonly string[];
	readonly excluded: boolean;
}

export interface RotorJob {
	readonly problem: RotorProblem;
	readonly runs: readonly RotorJobRun[];
}

/**
 * What the solver is asked about one rotor: the type's data and every run in the record, oldest first.
 * Two readings that differ are left out, never averaged: agreeing is for people.
 * @param rotor the rotor of the type data as the check opened with it
 */
export function rotorJob(state: RecordState, rotor: RotorData): RotorJob {
	const found = state.flights.flatMap((flight) =>
		flight.runs.flatMap((run) => {
			const groups = state.vibrations.filter(
				(group) => group.rotor === rotor.id && group.flight === flight.flight && group.run === run.run,
			);
			return groups.length === 0 ? [] : [runOf(state, rotor, flight, run, groups)];
		}),
	);
	return {
		runs: found.map(({ about }) => about),
		problem: { ...typeProblem(rotor), runs: found.map(({ run }) => run) },
	};
}

function runOf(
	state: RecordState,
	rotor: RotorData,
	flight: FlightState,
	run: RunState,
	groups: readonly VibrationGroup[],
): { readonly about: RotorJobRun; readonly run: Run } {
	const id = runId(flight.flight, run.run);
	const before = settingsBefore(state.rotors.get(rotor.id), flight.flight);
	const readings: Record<string, Reading> = {};
	const differing: string[] = [];
	for (const group of groups) {
		if (group.holds === null) differing.push(group.channel);
		else readings[group.channel] = readingOf(group.holds);
	}
	const excluded = run.excluded.has(rotor.id);
	const about = {
		id,
		flight: flight.flight,
		run: run.run,
		settings: before.settings,
		differing,
		settingsDiffering: before.differing,
		excluded,
	};
	const use = !excluded && before.differing.length === 0;
	return { about, run: { id, settings: before.settings, readings, use } };
}

/** The one name of a run wherever it is shown or computed with: flight and run, `2.1`. */
function runId(flight: number, run: number): string {
	return `${flight}.${run}`;
}

function readingOf(entry: NonNullable<VibrationGroup['holds']>): Reading {
	return {
		amplitudeIps: entry.amplitudeIps,
		phaseDeg: entry.phaseDeg,
		...(entry.sdIps === undefined ? {} : { sdIps: entry.sdIps }),
	};
}

function typeProblem(rotor: RotorData): Omit<RotorProblem, 'runs'> {
	const { id, rpm, blades, meanChangeLimit, channels, adjusters, coefficients, noise, stock } = rotor;
	return {
		format: 'stillmast/rotor@1',
		rotor: {
			id,
			rpm,
			blades: blades.map((blade) => ({ id: blade.id, passAngleDeg: blade.passAngleDeg })),
			meanChangeLimit,
		},
		channels,
		adjusters: adjusters.map(({ massG: _, inspection, ...rest }) => ({
			...rest,
			...(inspection ? { inspection: 'independent inspection by another licensed person' } : {}),
		})),
		coefficients,
		noise,
		stock,
		objective: 'worst-ratio',
	};
}
