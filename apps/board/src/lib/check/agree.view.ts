import type { EntryOf, Kind } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState, Settled } from '@stillmast/record';
import type { PenName } from '$lib/parts/written/pen.js';
import { headerName } from '$lib/prepare/header-name.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { numberText } from '$lib/words/number.js';
import { phasorText } from '$lib/words/vibration.js';
import { clockText, penOf } from './people.view.js';
import { channelWords } from './wall-rows.view.js';

/** One question that waits for an answer: entries of one subject that differ. */
export interface Question {
	readonly id: string;
	readonly title: string;
	readonly candidates: readonly Candidate[];
	readonly entries: readonly EntryOf<Kind>[];
}

export interface Candidate {
	readonly hash: string;
	readonly text: string;
	readonly pen: PenName | null;
	readonly time: string;
}

export function questionsOf(state: RecordState, typeData: TypeData): Question[] {
	return state.toAgree.map((settled) => questionOf(settled, state, typeData));
}

/** An entry's value as it stands on paper: "0.13 ips 118°", "61.0 %", "done". */
export function entryText(entry: EntryOf<Kind>): string {
	switch (entry.kind) {
		case 'vibration':
			return phasorText(entry.amplitudeIps, entry.phaseDeg);
		case 'reading':
			if (typeof entry.value === 'number') return `${numberText(entry.value, { digits: 1 })} ${entry.unit}`;
			return entry.value === true ? journey.cockpit.doneState : String(entry.value);
		case 'header':
			return `${entry.value} ${entry.unit}`.trim();
		case 'step':
			return entry.state;
		default:
			return entry.kind;
	}
}

function questionOf(settled: Settled<Kind>, state: RecordState, typeData: TypeData): Question {
	const entries = settled.entries as readonly EntryOf<Kind>[];
	return {
		id: entries.map(({ hash }) => hash).join(' '),
		title: titleOf(entries[0] as EntryOf<Kind>, typeData),
		entries,
		candidates: entries.map((entry) => ({
			hash: entry.hash,
			text: entryText(entry),
			pen: penOf(state, entry.by),
			time: clockText(entry.at),
		})),
	};
}

function titleOf(entry: EntryOf<Kind>, typeData: TypeData): string {
	switch (entry.kind) {
		case 'vibration': {
			const rotor = typeData.rotors.find(({ id }) => id === entry.rotor);
			const what = rotor === undefined ? entry.channel : channelWords(rotor, entry.channel);
			return fill(journey.agree.field, { what, flight: String(entry.flight) });
		}
		case 'reading':
			return fill(journey.agree.field, { what: entry.subject, flight: String(entry.flight) });
		case 'header':
			return headerName(entry.field);
		default:
			return entry.kind;
	}
}
