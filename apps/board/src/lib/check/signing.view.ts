import type { Card } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState, SignatureState } from '@stillmast/record';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { rehearsedCheck } from '$lib/words/rehearsed-check.js';
import { type LostDevices, lostStatement } from './lost.view.js';
import { clockText, roleWord } from './people.view.js';
import { placeOf } from './place.view.js';

export type SignerRole = 'pilot' | 'engineer';

export interface SigningWords {
	/** Where the check stands: unsigned, in part, signed, added after signing. */
	readonly status: string;
	readonly signatures: readonly SignatureLine[];
	readonly openItems: readonly string[];
}

export interface SignatureLine {
	readonly hash: string;
	readonly text: string;
	readonly trouble: string | null;
}

export function signingWords(state: RecordState, card: Card, typeData: TypeData): SigningWords {
	return {
		status: statusOf(state),
		signatures: state.signing.contents.flatMap(({ signatures }) => signatures.map(signatureLine)),
		openItems: openItems(state, card, typeData),
	};
}

/** The very words that are shown and signed. @param lost devices that the signer gives up */
export function statementOf(
	role: SignerRole,
	state: RecordState,
	card: Card,
	typeData: TypeData,
	lost: LostDevices = [],
): string {
	const items = openItems(state, card, typeData);
	const open = [
		...(state.purpose === 'rehearsal' ? [rehearsedCheck.signed] : []),
		...(lost.length === 0 ? [] : [lostStatement(state, lost)]),
		items.length === 0 ? journey.sign.noOpenItems : fill(journey.sign.openItems, { items: items.join('; ') }),
	].join(' ');
	if (role === 'pilot') return `${journey.sign.pilotText} ${open}`;
	const all = [...state.judged.values()];
	const struck = all.filter(({ judgement }) => judgement.state === 'struck').length;
	const last = all.at(-1)?.entry.at ?? '';
	const text = fill(journey.sign.engineerText, {
		count: String(all.length),
		time: `${last.slice(0, 10)} ${clockText(last)}`,
		struck: String(struck),
		open: String(state.toAgree.length),
		revision: `${typeData.type} ${journey.sign.revision} ${typeData.revision}`,
	});
	return `${text} ${open}`;
}

function statusOf({ signing }: RecordState): string {
	const newest = signing.contents.at(-1);
	const roles = (newest?.roles ?? []).map(roleWord).join(', ');
	switch (signing.state) {
		case 'unsigned':
			return journey.sign.unsigned;
		case 'in-part':
			return fill(journey.sign.inPart, { roles });
		case 'signed':
			return fill(journey.sign.complete, { roles });
		case 'added-after-signing':
			return fill(journey.sign.added, { count: String(signing.added.length) });
	}
}

function signatureLine({ entry, cover }: SignatureState): SignatureLine {
	const time = `${entry.at.slice(0, 10)} ${clockText(entry.at)}`;
	return {
		hash: entry.hash,
		text: fill(journey.sign.signedBy, { name: entry.name, role: roleWord(entry.role), time }),
		trouble: cover === 'holds' ? null : cover === 'heads-missing' ? journey.sign.coverWaits : journey.sign.coverBroken,
	};
}

/** What a signer has to know is not finished. */
function openItems(state: RecordState, card: Card, typeData: TypeData): string[] {
	const place = placeOf(state, card, typeData);
	const notFlown = place.steps.filter((one) => one.state === 'ahead' || one.state === 'left');
	const items: string[] = [];
	if (notFlown.length > 0)
		items.push(`${journey.sign.stepsOpen}: ${notFlown.map(({ step }) => step.title).join(', ')}`);
	if (state.toAgree.length > 0) items.push(`${journey.sign.notAgreed}: ${state.toAgree.length}`);
	if (state.measureAgain.length > 0) items.push(`${journey.sign.measureAgain}: ${state.measureAgain.length}`);
	return items;
}
