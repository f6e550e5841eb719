import type { Card } from '@stillmast/formats/card';
import type { Entry, EntryOf, Kind } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import { headerName } from '$lib/prepare/header-name.js';
import { fill } from '$lib/words/fill.js';
import { talk } from '$lib/words/talk.js';
import { entryText } from './agree.view.js';
import { adjusterLabel, settingText } from './settings.view.js';
import { channelWords } from './wall-rows.view.js';

/** What names in entries mean: the check's own card and type data. */
export interface EntryNames {
	readonly card: Card;
	readonly typeData: TypeData;
}

/** An entry of any kind in one line: "hover lateral, flight 2: 0.24 ips 18°". Kinds of newer versions by their name. */
export function entryWords(entry: Entry, names: EntryNames): string {
	const known = entry as unknown as EntryOf<Kind>;
	switch (known.kind) {
		case 'vibration':
		case 'reading':
			return fill(talk.valueLine, {
				what: subjectWords(known, names),
				flight: String(known.flight),
				value: entryText(known),
			});
		case 'header':
			return `${headerName(known.field)}: ${entryText(known)}`;
		case 'step':
			return `${stepTitle(known.step, names.card)}: ${known.state}${known.reason === undefined ? '' : `, ${known.reason}`}`;
		case 'adjustment':
			return `${known.stage}: ${settingsText(known, names.typeData)}`;
		case 'remark':
			return fill(known.asks ? talk.askLine : talk.remarkLine, { text: known.text });
		case 'reply':
			return fill(talk.replyLine, { text: known.text ?? talk.answers[known.answer ?? 'seen'] });
		case 'narrative':
			return known.text;
		case 'strike':
			return fill(talk.strikeLine, { reason: known.reason === '' ? talk.noReason : known.reason });
		case 'decision':
			return `${known.parameter}: ${known.reason}`;
		default:
			return kindWords(entry.kind);
	}
}

/** "hover lateral", "torque", "leak check done": what a value is of. */
export function subjectWords(entry: EntryOf<'vibration'> | EntryOf<'reading'>, { card, typeData }: EntryNames): string {
	if (entry.kind === 'vibration') {
		const rotor = typeData.rotors.find(({ id }) => id === entry.rotor);
		return rotor === undefined ? entry.channel : channelWords(rotor, entry.channel);
	}
	const field = card.steps.flatMap(({ fields }) => fields).find(({ id }) => id === entry.subject);
	return field === undefined || field.kind === 'vibration' ? entry.subject : field.name;
}

export function kindWords(kind: string): string {
	return Object.hasOwn(talk.kinds, kind) ? talk.kinds[kind as keyof typeof talk.kinds] : kind;
}

function stepTitle(id: string, card: Card): string {
	return card.steps.find((step) => step.id === id)?.title ?? id;
}

function settingsText({ rotor: rotorId, settings }: EntryOf<'adjustment'>, typeData: TypeData): string {
	const rotor = typeData.rotors.find(({ id }) => id === rotorId);
	return Object.entries(settings)
		.map(([id, value]) => {
			const adjuster = rotor?.adjusters.find((one) => one.id === id);
			return adjuster === undefined ? `${id} ${value}` : `${adjusterLabel(adjuster)} ${settingText(adjuster, value)}`;
		})
		.join(', ');
}
