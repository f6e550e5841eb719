import type { EntryOf, Kind } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState, Settled } from '@stillmast/record';
import type { PenName } from '$lib/parts/written/pen.js';
import { headerName } from '$lib/prepare/header-name.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { type DecimalMark, numberText } from '$lib/words/number.js';
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

export function questionsOf(state: RecordState, typeData: TypeData, mark: DecimalMark): Question[] {
	return state.toAgree.map((settled) => questionOf(settled, state, typeData, mark));
}

/** An entry's value as it stands on paper: "0.13 ips 118°", "61.0 %", "done". */
export function entryText(entry: EntryOf<Kind>, mark: DecimalMark): string {
	switch (entry.kind) {
		case 'vibration': {
			const amplitude = `${numberText(entry.amplitudeIps, { digits: 2, mark })} ips`;
			return entry.phaseDeg === null
				? amplitude
				: `${amplitude} ${numberText(entry.phaseDeg, { digits: 0, mark })}\u00b0`;
		}
		case 'reading':
			if (typeof entry.value === 'number') return `${numberText(entry.value, { digits: 1, mark })} ${entry.unit}`;
			return entry.value === true ? journey.cockpit.doneState : String(entry.value);
		case 'header':
			return `${entry.value} ${entry.unit}`.trim();
		case 'step':
			return entry.state;
		default:
			return entry.kind;
	}
}

function questionOf(settled: Settled<Kind>, state: RecordState, typeData: TypeData, mark: DecimalMark): Question {
	const entries = settled.entries as readonly EntryOf<Kind>[];
	return {
		id: entries.map(({ hash }) => hash).join(' '),
		title: titleOf(entries[0] as EntryOf<Kind>, typeData),
		entries,
		candidates: entries.map((entry) => ({
			hash: entry.hash,
			text: entryText(entry, mark),
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
