import type { EntryOf } from '@stillmast/formats/entry';
import { groupBy } from './group-by.js';
import type { FoldRules } from './rules.js';
import type { Settler } from './settler.js';
import type { RotorState, SettingState, Settled } from './state.js';

type Adjustment = EntryOf<'adjustment'>;

/** A change of settings on the aircraft: which adjusters, after which flight, by which entries. */
export interface Change {
	readonly rotor: string;
	readonly after: number;
	readonly adjuster: string;
	readonly entries: readonly string[];
}

/** One adjuster at one ground time. */
interface Setting {
	readonly state: SettingState;
	readonly settled: Settled<'adjustment'>;
	/** Somebody says to have changed it then. */
	readonly worked: boolean;
}

/** What is said of one adjuster, in order of ground time. */
type History = readonly Setting[];

export interface RotorRead {
	readonly state: RotorState;
	readonly changes: readonly Change[];
	/** Settings said differently by entries that do not know each other, at the newest ground time. */
	readonly unsettled: readonly Settled<'adjustment'>[];
}

/**
 * Settings of one rotor. On the ground after one flight the newest by causality holds; a later flight's ground time
 * holds over an earlier one's whenever it was written, since the aircraft went through them in that order. @rule REC-60
 */
export function readRotor(
	rotor: string,
	adjustments: readonly Adjustment[],
	inspections: readonly EntryOf<'inspection'>[],
	rules: FoldRules,
	settler: Settler,
): RotorRead {
	const done = adjustments.filter(({ stage }) => stage !== 'planned');
	const histories = readHistories(done, settler);
	const last = [...histories.values()].flatMap((history) => history.at(-1)?.settled ?? []);
	const state = {
		rotor,
		settings: newest(histories),
		history: new Map([...histories].map(([id, history]) => [id, history.map(({ state }) => state)])),
		planned: readPlanned(adjustments, done, settler),
		inspectionsOpen: readOpenInspections(rotor, done, inspections, rules),
	};
	return {
		state,
		changes: [...histories].flatMap(([adjuster, history]) => readChanges(rotor, adjuster, history)),
		unsettled: last.filter((settled) => settled.state === 'differ'),
	};
}

function readHistories(adjustments: readonly Adjustment[], settler: Settler): Map<string, History> {
	const histories = new Map<string, History>();
	const adjusters = new Set(adjustments.flatMap(({ settings }) => Object.keys(settings)));
	for (const adjuster of [...adjusters].sort()) {
		const naming = adjustments.filter(({ settings }) => Object.hasOwn(settings, adjuster));
		const times = [...groupBy(naming, ({ after }) => String(after)).values()];
		const history = times.map((entries) => readSetting(adjuster, entries, settler));
		histories.set(
			adjuster,
			history.sort((a, b) => a.state.after - b.state.after),
		);
	}
	return histories;
}

function readSetting(adjuster: string, entries: readonly Adjustment[], settler: Settler): Setting {
	const settled = settler.evidence<'adjustment'>(
		settler.latest(entries),
		(a, b) => a.settings[adjuster] === b.settings[adjuster],
	);
	const latest = settled.entries;
	const values = [...new Set(latest.flatMap(({ settings }) => settings[adjuster] ?? []))].sort((a, b) => a - b);
	const value = settled.holds?.settings[adjuster] ?? null;
	const state = {
		adjuster,
		value,
		values,
		after: (entries[0] as Adjustment).after,
		measured: latest.some(({ stage, settings }) => stage !== 'made' && settings[adjuster] === value),
		entries: latest.map(({ hash }) => hash),
	};
	return { state, settled, worked: entries.some(({ stage }) => stage === 'made') };
}

function newest(histories: ReadonlyMap<string, History>): Map<string, SettingState> {
	const states = new Map<string, SettingState>();
	for (const [adjuster, history] of histories) {
		const last = history.at(-1);
		if (last !== undefined) states.set(adjuster, last.state);
	}
	return states;
}

/** A plan is open until something is done to that adjuster by someone who knew it, or what it asks for stands. */
function readPlanned(
	adjustments: readonly Adjustment[],
	done: readonly Adjustment[],
	settler: Settler,
): Map<string, SettingState> {
	const open = adjustments.filter(({ stage }) => stage === 'planned');
	const planned = newest(readHistories(open, settler));
	for (const [adjuster, meant] of planned) {
		const answers = done.filter(({ settings }) => Object.hasOwn(settings, adjuster));
		const answered = (plan: string) =>
			answers.some(
				(one) =>
					settler.isBefore({ hash: plan }, one) ||
					(one.after === meant.after && one.settings[adjuster] === meant.value),
			);
		if (meant.entries.every(answered)) planned.delete(adjuster);
	}
	return planned;
}

/**
 * Every time an adjuster stands otherwise than before it was changed. Where nothing says how it stood before, work on
 * it (`made`) is a change; finding or measuring it is not.
 */
function readChanges(rotor: string, adjuster: string, history: History): Change[] {
	return history.flatMap(({ state, worked }, i) => {
		const before = history[i - 1]?.state;
		const changed = before === undefined ? worked : state.value === null || state.value !== before.value;
		return changed ? [{ rotor, after: state.after, adjuster, entries: state.entries }] : [];
	});
}

/** @rule REC-62 */
function readOpenInspections(
	rotor: string,
	done: readonly Adjustment[],
	inspections: readonly EntryOf<'inspection'>[],
	rules: FoldRules,
): string[] {
	const inspected = new Set(
		inspections
			.filter(({ result, locked, toolsCounted }) => result === 'in-order' && locked && toolsCounted)
			.map((one) => one.adjustment),
	);
	const asks = (adjuster: string) => rules.adjusters[rotor]?.[adjuster]?.inspection ?? false;
	return done
		.filter(({ stage, settings }) => stage === 'made' && Object.keys(settings).some(asks))
		.filter(({ hash }) => !inspected.has(hash))
		.map(({ hash }) => hash);
}
