import type { Role } from '@stillmast/formats/entry';
import { roleWord } from '$lib/check/people.view.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { ready as words } from '$lib/words/ready.js';

/** What the browser says about this device; null where it does not say. */
export interface DeviceFacts {
	/** Whether this address lets a browser keep pages at all. */
	readonly isSecure: boolean;
	/** A service worker is active and has the board's page in its cache. */
	readonly isBoardKept: boolean;
	readonly isStorageKept: boolean | null;
	readonly freeBytes: number | null;
	/** 0 to 1. */
	readonly battery: { readonly level: number; readonly isCharging: boolean } | null;
	readonly canStayLit: boolean;
	/** Card and type data lie on this device's disk. */
	readonly areDocumentsKept: boolean;
}

/** Another device of the crew, as its last entry shows it. */
export interface OtherFacts {
	readonly key: string;
	readonly name: string;
	/** Null when it has written nothing. */
	readonly last: { readonly time: string; readonly lacksCount: number } | null;
}

/** What the record says. */
export interface RecordFacts {
	readonly entryCount: number;
	/** Known to exist and not here. */
	readonly lackingCount: number;
	/** Here and not yet, or not at all, on the disk. */
	readonly unkeptCount: number;
	readonly unstoredCount: number;
	readonly hasHost: boolean;
	readonly card: string;
	readonly type: string;
	readonly revision: string;
	readonly pen: { readonly name: string; readonly role: Role | null; readonly writes: boolean };
	/** Of the newest entry written with this pen that was compared with the host's clock. */
	readonly clock: { readonly offsetMs: number; readonly errorMs: number } | null;
	readonly others: readonly OtherFacts[];
}

export interface ReadyItem {
	readonly id: string;
	readonly name: string;
	readonly state: keyof typeof words.state;
	/** What was found, and what to do about it. */
	readonly found: string;
}

/** As far as two clocks may lie apart and still tell one story; ours, for reading the record: nothing rests on it. */
const clockOffMost_ms = 2_000;
/** Far more than 10 000 entries with their traces take. */
const spaceNeeded_MB = 200;
const batteryLeast = 0.5;

/** Every item is worked out from what was found; none is taken as given. */
export function readyItems(device: DeviceFacts, record: RecordFacts): ReadyItem[] {
	return [
		boardItem(device),
		checkItem(record),
		cardItem(device, record),
		hostItem(record),
		penItem(record),
		clockItem(record),
		yesOrNo('kept', words.kept, device.isStorageKept, [words.keptYes, words.keptNo, words.keptUnknown]),
		spaceItem(device),
		batteryItem(device),
		yesOrNo('awake', words.awake, device.canStayLit, [words.awakeYes, words.awakeNo, words.unknown]),
		...record.others.map(otherItem),
	];
}

function yesOrNo(
	id: string,
	name: string,
	is: boolean | null,
	[yes, no, unknown]: readonly [string, string, string],
): ReadyItem {
	return is === null
		? { id, name, state: 'unknown', found: unknown }
		: { id, name, state: is ? 'yes' : 'no', found: is ? yes : no };
}

function boardItem({ isSecure, isBoardKept }: DeviceFacts): ReadyItem {
	const why = isSecure ? words.boardNo : words.boardNever;
	return yesOrNo('board', words.board, isSecure && isBoardKept, [words.boardYes, why, words.unknown]);
}

function checkItem({ entryCount, lackingCount, unkeptCount }: RecordFacts): ReadyItem {
	const found =
		lackingCount > 0
			? fill(words.checkLacking, { count: String(lackingCount) })
			: unkeptCount > 0
				? fill(words.checkKeeping, { count: String(unkeptCount) })
				: fill(words.checkYes, { count: String(entryCount) });
	return { id: 'check', name: words.check, state: lackingCount + unkeptCount === 0 ? 'yes' : 'no', found };
}

function cardItem({ areDocumentsKept }: DeviceFacts, { card, type, revision }: RecordFacts): ReadyItem {
	const yes = fill(words.cardYes, { card, type, revision });
	return yesOrNo('card', words.card, areDocumentsKept, [yes, words.cardNo, words.unknown]);
}

function hostItem({ hasHost, unstoredCount }: RecordFacts): ReadyItem {
	const name = words.host;
	if (!hasHost) return { id: 'host', name, state: 'unknown', found: words.hostAlone };
	const no = fill(words.hostNo, { count: String(unstoredCount) });
	return yesOrNo('host', name, unstoredCount === 0, [words.hostYes, no, words.unknown]);
}

function penItem({ pen }: RecordFacts): ReadyItem {
	const yes = fill(words.penYes, { name: pen.name, role: roleWord(pen.role ?? '') });
	return yesOrNo('pen', words.pen, pen.writes, [yes, words.penNo, words.unknown]);
}

function clockItem({ clock }: RecordFacts): ReadyItem {
	const name = words.clock;
	if (clock === null) return { id: 'clock', name, state: 'unknown', found: words.clockUnknown };
	const found = fill(words.clockFound, { off: seconds(clock.offsetMs), error: seconds(clock.errorMs) });
	const isNear = Math.abs(clock.offsetMs) + clock.errorMs <= clockOffMost_ms;
	return yesOrNo('clock', name, isNear, [found, found, words.unknown]);
}

function spaceItem({ freeBytes }: DeviceFacts): ReadyItem {
	const free_MB = freeBytes === null ? null : freeBytes / 1e6;
	const found = fill(words.spaceFound, { free: String(Math.floor(free_MB ?? 0)), needed: String(spaceNeeded_MB) });
	const is = free_MB === null ? null : free_MB >= spaceNeeded_MB;
	return yesOrNo('space', words.space, is, [found, found, words.keptUnknown]);
}

function batteryItem({ battery }: DeviceFacts): ReadyItem {
	const level = String(Math.floor((battery?.level ?? 0) * 100));
	const found = fill(battery?.isCharging ? words.batteryCharging : words.batteryFound, { level });
	const is = battery === null ? null : battery.level >= batteryLeast;
	return yesOrNo('battery', words.battery, is, [found, found, words.unknown]);
}

function otherItem({ key, name, last }: OtherFacts): ReadyItem {
	const title = fill(words.other, { name });
	if (last === null) return { id: key, name: title, state: 'unknown', found: words.otherNever };
	const { time, lacksCount } = last;
	const no = fill(words.otherNo, { time, count: String(lacksCount) });
	return yesOrNo(key, title, lacksCount === 0, [fill(words.otherYes, { time }), no, words.unknown]);
}

function seconds(ms: number): string {
	return numberText(ms / 1000, { digits: 1, mark: '.' });
}
