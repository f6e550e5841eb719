import type { EntryOf } from '@stillmast/formats/entry';
import type { RecordState, RunState } from '@stillmast/record';
import { flightCrew } from '@stillmast/record/judge';
import { entryText } from '$lib/check/agree.view.js';
import { type EntryNames, entryWords, subjectWords } from '$lib/check/entry-words.view.js';
import { clockText, penOf, roleWord } from '$lib/check/people.view.js';
import { settingLines } from '$lib/check/settings.view.js';
import { wallRows } from '$lib/check/wall-rows.view.js';
import type { WallRow } from '$lib/parts/wall/wall.view.js';
import { penInitial } from '$lib/parts/written/pen.js';
import { gearOf, isGearField } from '$lib/prepare/gear.view.js';
import { conditionLines } from '$lib/prepare/head-lines.view.js';
import { headerName } from '$lib/prepare/header-name.js';
import { licenceOf } from '$lib/prepare/licence.js';
import { fill } from '$lib/words/fill.js';
import { paper } from '$lib/words/paper.js';
import { prepare } from '$lib/words/prepare.js';

/** A name and what belongs to it. */
export interface Fact {
	readonly name: string;
	readonly text: string;
}

/** One run as the report shows it: under which conditions, what was read against which limit, and the rest. */
export interface ReportRun {
	readonly id: string;
	readonly title: string;
	readonly conditions: string;
	readonly walls: readonly { readonly rotor: string; readonly rows: readonly WallRow[] }[];
	readonly others: readonly Fact[];
}

/** Aircraft, documents and what stands in the header, measuring gear left out. */
export function headerFacts(state: RecordState, { card, typeData }: EntryNames): Fact[] {
	const { aircraft } = state.opened ?? {};
	const { provenance } = typeData;
	return [
		{ name: paper.registration, text: aircraft?.registration ?? '' },
		{ name: paper.type, text: aircraft?.type ?? '' },
		{ name: paper.serial, text: aircraft?.serial ?? '' },
		...[...state.header]
			.filter(([field]) => !isElsewhere(field))
			.flatMap(([field, settled]) => {
				const said = settled.entries.filter(({ value }) => value !== '');
				const text = said.map((entry) => `${entryText(entry)} ${writtenBy(state, entry)}`).join(' / ');
				return said.length === 0 ? [] : [{ name: headerName(field), text }];
			}),
		{ name: paper.card, text: fill(paper.revision, { name: card.title, revision: card.revision }) },
		{
			name: paper.typeData,
			text: `${fill(paper.document, { document: provenance.document, revision: provenance.revision })}; ${fill(
				paper.typed,
				{ by: provenance.typedBy, checked: provenance.checkedBy ?? paper.notChecked },
			)}`,
		},
	];
}

/** Instruments, each with its serial number, until when it was calibrated, and who wrote it down. */
export function gearLines(state: RecordState): string[] {
	return gearOf(state).flatMap(({ text, by, overdue }) => [
		by === null ? text : `${text} (${penInitial(by.pen)} ${by.time})`,
		...(overdue === null ? [] : [overdue]),
	]);
}

export interface PersonLine {
	readonly key: string;
	readonly name: string;
	readonly role: string;
	readonly licence: string;
}

/** People as they declared themselves, with the licence that each declared alone. */
export function peopleLines(state: RecordState): PersonLine[] {
	return [...state.people.values()]
		.filter(({ role }) => role !== 'host')
		.map(({ key, name, role }) => ({
			key,
			name,
			role: roleWord(role),
			licence: licenceOf(state, key) ?? (isSigner(role) ? prepare.noLicence : prepare.signsNothing),
		}));
}

/** Every adjuster of every rotor that somebody wrote down, with whether it was read off the aircraft. */
export function configuration(state: RecordState, { typeData }: EntryNames) {
	return typeData.rotors
		.filter(({ id }) => (state.rotors.get(id)?.settings.size ?? 0) > 0)
		.map((rotor) => ({
			rotor: rotor.name,
			lines: settingLines(rotor, state.rotors.get(rotor.id)).map(({ id, label, text, isUnmeasured }) => ({
				id,
				label,
				text,
				basis: isUnmeasured ? paper.notMeasured : paper.measured,
			})),
		}));
}

/** Runs in the order flown, each with what was read in it. */
export function reportRuns(state: RecordState, names: EntryNames): ReportRun[] {
	return state.flights.flatMap((flight) =>
		flight.runs.map((run) => ({
			id: `${flight.flight}.${run.run}`,
			title: fill(paper.flight, { flight: String(flight.flight), run: String(run.run) }),
			conditions: conditionWords(state, flight.flight),
			walls: wallsOf(state, names, run),
			others: othersOf(state, names, run),
		})),
	);
}

function wallsOf(state: RecordState, { typeData }: EntryNames, { flight, run }: RunState): ReportRun['walls'] {
	return typeData.rotors.flatMap((rotor) => {
		const read = state.vibrations.filter(
			(group) => group.rotor === rotor.id && group.flight === flight && group.run === run,
		);
		const channels = rotor.channels.map(({ id }) => id).filter((id) => read.some(({ channel }) => channel === id));
		if (channels.length === 0) return [];
		return [{ rotor: rotor.name, rows: wallRows(state, rotor, { flight, run }, channels) }];
	});
}

function othersOf(state: RecordState, names: EntryNames, { flight, run }: RunState): Fact[] {
	return state.readings
		.filter((group) => group.flight === flight && (group.run === run || group.run === null))
		.flatMap(({ entries }) => {
			const [first] = entries;
			if (first === undefined) return [];
			const text = entries.map((entry) => `${entryText(entry)} ${writtenBy(state, entry)}`).join(' / ');
			return [{ name: subjectWords(first, names), text }];
		});
}

/** What the flight was flown under, with who is on board; nothing of what nobody wrote down. */
function conditionWords(state: RecordState, flight: number): string {
	const crew = flightCrew(state, flight)
		.map(({ seat, name }) => (seat === '' ? name : `${name} (${seat})`))
		.join(', ');
	return [
		...(crew === '' ? [] : [fill(paper.crew, { crew })]),
		...conditionLines(state, flight)
			.filter(({ field, wrote }) => field !== 'crew' && wrote.length > 0)
			.map(({ field, wrote }) => `${conditionName(field)} ${wrote.map(({ text }) => text).join(' / ')}`),
	].join(' · ');
}

function conditionName(field: string): string {
	const names: Readonly<Record<string, string>> = prepare.conditionNames;
	return names[field] ?? field;
}

/** What was struck out, by whom and why: it stays readable. */
export function struckLines(state: RecordState, names: EntryNames): { readonly id: string; readonly text: string }[] {
	const strikes = new Map(state.of.strike.map((one) => [one.hash, one]));
	return [...state.judged.values()].flatMap(({ entry, judgement }) => {
		if (judgement.state !== 'struck') return [];
		const strike = strikes.get(judgement.strike);
		const text = fill(paper.struckLine, {
			what: entry.at.slice(0, 10),
			value: entryWords(entry, names),
			pen: penInitial(penOf(state, entry.by)),
			time: clockText(entry.at),
			by: strike === undefined ? '' : penInitial(penOf(state, strike.by)),
			reason: strike?.reason || paper.noReason,
		});
		return [{ id: entry.hash, text }];
	});
}

/** What came after the newest complete signing, in total order. */
export function addedLines(state: RecordState, names: EntryNames): { readonly id: string; readonly text: string }[] {
	return state.signing.added.flatMap((hash) => {
		const entry = state.judged.get(hash)?.entry;
		if (entry === undefined) return [];
		const pen = penInitial(penOf(state, entry.by));
		const time = `${entry.at.slice(0, 10)} ${clockText(entry.at)}`;
		return [{ id: hash, text: fill(paper.addedLine, { pen, time, what: entryWords(entry, names) }) }];
	});
}

/** Signatures with the very words that were signed. */
export function signedLines(state: RecordState) {
	return state.of.signature.map((one) => ({
		id: one.hash,
		title: fill(paper.signedBy, {
			name: one.name,
			role: roleWord(one.role),
			licence: one.licence || prepare.noLicence,
			time: `${one.at.slice(0, 10)} ${clockText(one.at)}`,
		}),
		statement: one.statement,
	}));
}

function writtenBy(state: RecordState, entry: EntryOf<'reading'> | EntryOf<'header'>): string {
	return `${penInitial(penOf(state, entry.by))} ${clockText(entry.at)}`;
}

/** Gear, licences and conditions have their own place on the sheet. */
function isElsewhere(field: string): boolean {
	return isGearField(field) || /^(licence|flight)\//.test(field);
}

function isSigner(role: string): boolean {
	return role === 'pilot' || role === 'engineer';
}
