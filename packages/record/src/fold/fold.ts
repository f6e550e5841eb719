import type { EntryOf, Kind } from '@stillmast/formats/entry';
import type { EntrySet } from '../set/entry-set.js';
import { readSigning } from '../signing/read-signing.js';
import { readFlights } from './flights.js';
import { groupBy, type OfKind, Settler, sortByKind } from './groups.js';
import { judge } from './judge.js';
import { readMeasureAgain } from './measure-again.js';
import { readReadings, readVibrations } from './readings.js';
import { readRotors } from './rotors.js';
import { bareRules, type FoldRules } from './rules.js';
import type { FlightState, LimitEvidence, RecordState, Settled } from './state.js';
import { readWaiting } from './waiting.js';

export interface FoldOptions {
	/** From the type's data (`rulesOf`) and the card; without, `bareRules`. */
	readonly rules?: FoldRules;
	/** Hashes that `prove` could not prove: kept, set apart. */
	readonly unproved?: ReadonlySet<string>;
}

/** What a record says. A pure function of the set and the options: the order of arrival changes nothing. @rule REC-11 */
export function fold(set: EntrySet, { rules = bareRules, unproved = new Set() }: FoldOptions = {}): RecordState {
	const { judged, counted, people, opened } = judge(set, unproved);
	const of = sortByKind(counted);
	const settler = new Settler(set, of.agree);
	const readings = readReadings(of, rules, settler);
	const vibrations = readVibrations(of, rules, settler);
	const { rotors, changes, unsettled } = readRotors(of, rules, settler);
	const flights = readFlights(of, settler);
	const header = settleBy(of.header, ({ field }) => field, settler, ['value', 'unit']);
	const reviews = settleBy(of.review, ({ flight, item }) => `${flight}/${item}`, settler, ['state']);
	return {
		record: set.record,
		opened,
		purpose: opened?.purpose ?? null,
		people,
		judged,
		alarms: set.alarms(),
		waiting: readWaiting(set),
		of,
		header,
		flights,
		readings,
		vibrations,
		rotors,
		measureAgain: readMeasureAgain(changes, vibrations, readings, rules),
		limits: readLimits(of, settler),
		narratives: readNarratives(of),
		replies: groupBy(of.reply, ({ to }) => to),
		reviews,
		toAgree: readToAgree([...readings, ...vibrations, ...unsettled, ...header.values(), ...reviews.values()], flights),
		signing: readSigning(set, { of, judged, people, rolesAsked: rules.rolesAsked }),
	};
}

function settleBy<K extends Kind>(
	entries: readonly EntryOf<K>[],
	keyOf: (entry: EntryOf<K>) => string,
	settler: Settler,
	fields: readonly (keyof EntryOf<K> & string)[],
): Map<string, Settled<K>> {
	return new Map([...groupBy(entries, keyOf)].map(([key, group]) => [key, settler.statement<K>(group, fields)]));
}

function readLimits(of: OfKind, settler: Settler): LimitEvidence[] {
	const all = [...of.witness, ...of.memory, ...of.decision];
	const groups = groupBy(all, ({ flight, parameter }) => `${flight} ${parameter}`);
	return [...groups.values()]
		.map((group) => ({
			flight: group[0]?.flight ?? 0,
			parameter: group[0]?.parameter ?? '',
			witnesses: group.filter((one) => one.kind === 'witness'),
			memories: group.filter((one) => one.kind === 'memory'),
			decisions: readDecisions(
				group.filter((one) => one.kind === 'decision'),
				settler,
			),
		}))
		.sort((a, b) => a.flight - b.flight || (a.parameter < b.parameter ? -1 : 1));
}

/** Each limit line is decided on its own. */
function readDecisions(decisions: readonly EntryOf<'decision'>[], settler: Settler): EntryOf<'decision'>[] {
	return [...groupBy(decisions, ({ line }) => line ?? '').values()].flatMap((group) => settler.latest(group));
}

/** A narrative stands until one that names it stands in its place. @rule REC-53 */
function readNarratives(of: OfKind): Map<string, EntryOf<'narrative'>[]> {
	const replaced = new Set(of.narrative.flatMap(({ replaces }) => replaces));
	return groupBy(
		of.narrative.filter(({ hash }) => !replaced.has(hash)),
		({ subject }) => subject,
	);
}

function readToAgree(subjects: readonly Settled<Kind>[], flights: readonly FlightState[]): Settled<Kind>[] {
	const ofFlights = flights.flatMap(({ opened, closed, steps, runs }): (Settled<Kind> | null)[] => [
		opened,
		closed,
		...steps.values(),
		...runs.flatMap((run) => [...run.contexts.values()]),
	]);
	return [...subjects, ...ofFlights].flatMap((one) => (one?.state === 'differ' ? [one] : []));
}
