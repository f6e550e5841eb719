import { type Card, cardSchema } from '@stillmast/formats/card';
import { readAs } from '@stillmast/formats/problem';
import { type NumberSource, notCompared, type ProvenanceDocument } from '@stillmast/formats/provenance';
import { readTypeData, type TypeData } from '@stillmast/formats/type-data';
import { type DraftFault, draftFaults } from './draft-faults.js';
import { type Page, pages } from './pages.js';
import { listAt, type Tree, textAt, withValue } from './tree.js';

/** Type data of one's own, as this device keeps it: the documents while they are typed, and where each number was read. */
export interface OwnType {
	/** Made by this device. */
	readonly key: string;
	readonly standing: 'open' | 'in-use' | 'replaced';
	readonly savedAtMs: number;
	readonly documents: { readonly type: Tree; readonly card: Tree };
	readonly provenance: ProvenanceDocument;
}

export type DraftName = keyof OwnType['documents'];

/** `draft`: something is missing or not compared by another person; `checked`: nothing is. */
export type OwnState = 'draft' | 'checked' | 'in-use' | 'replaced';

export type PageState =
	| { readonly state: 'empty' | 'whole' }
	| { readonly state: 'unfinished'; readonly missing: number; readonly wrong: number };

/** An aircraft type of which nothing is known but its name. Never a copy of a sample. */
export function blankType(key: string, type: string, nowMs: number): OwnType {
	return {
		key,
		standing: 'open',
		savedAtMs: nowMs,
		documents: {
			type: {
				format: 'stillmast/type@1',
				type,
				invented: false,
				revision: '1',
				rotors: [],
				limits: [],
				dependencies: [],
				consumers: [],
			},
			card: {
				format: 'stillmast/card@1',
				id: 'card',
				revision: '1',
				type,
				invented: false,
				signedBy: ['pilot', 'engineer'],
				steps: [],
			},
		},
		provenance: { format: 'stillmast/provenance@1', type, numbers: {} },
	};
}

export function typeName(own: OwnType): string {
	return textAt(own.documents.type, ['type']);
}

export function revisionOf(own: OwnType): string {
	return textAt(own.documents.type, ['revision']);
}

/** The documents as files and checks carry them; they may still be faulty. */
export function documentsOf(own: OwnType): { readonly type: Tree; readonly card: Tree } {
	const { type, card } = own.documents;
	const [name, revision] = [typeName(own), revisionOf(own)];
	return {
		type: withValue(type, ['provenance'], pageProvenance(own)),
		card: { ...(card as object), type: name, revision, invented: false },
	};
}

export function stateOf(own: OwnType): OwnState {
	if (own.standing !== 'open') return own.standing;
	return isUsable(own) && notCompared(own.documents, own.provenance).length === 0 ? 'checked' : 'draft';
}

/** Every fault of the documents, with the page on which it is put right. */
export function faultsOf(own: OwnType): readonly DraftFault[] {
	return draftFaults(documentsOf(own));
}

export function pageState(own: OwnType, page: Page, faults: readonly DraftFault[] = faultsOf(own)): PageState {
	if (isEmpty(own, page)) return { state: 'empty' };
	const here = faults.filter((one) => one.page === page);
	if (here.length === 0) return { state: 'whole' };
	const missing = here.filter((one) => one.isMissing).length;
	return { state: 'unfinished', missing, wrong: here.length - missing };
}

/** May a check be opened with it? Limits and card are whole, and no other page was left half typed. */
export function isUsable(own: OwnType, faults: readonly DraftFault[] = faultsOf(own)): boolean {
	return pages.every((page) => {
		const { state } = pageState(own, page, faults);
		return state === 'whole' || (state === 'empty' && page !== 'limits' && page !== 'card');
	});
}

/** The documents to open a check with; `null` while they are not usable. */
export function usableDocuments(own: OwnType): { readonly card: Card; readonly typeData: TypeData } | null {
	if (!isUsable(own)) return null;
	const { type, card } = documentsOf(own);
	const [readType, readCard] = [readTypeData(type), readAs(cardSchema, card)];
	return readType.ok && readCard.ok ? { card: readCard.value, typeData: readType.value } : null;
}

/** The next revision of data in use: the same numbers, compared as they were, open to be changed. */
export function revisedType(own: OwnType, key: string, nowMs: number): OwnType {
	const count = Number(revisionOf(own));
	const revision = Number.isInteger(count) ? String(count + 1) : `${revisionOf(own)}-2`;
	const type = withValue(own.documents.type, ['revision'], revision);
	return { ...own, key, standing: 'open', savedAtMs: nowMs, documents: { ...own.documents, type } };
}

function isEmpty(own: OwnType, page: Page): boolean {
	const { type, card } = own.documents;
	switch (page) {
		case 'limits':
			return listAt(type, ['limits']).length === 0;
		case 'card':
			return listAt(card, ['steps']).length === 0;
		case 'rotor':
			return listAt(type, ['rotors']).length === 0;
		case 'charts':
			return listAt(type, ['charts']).length === 0;
		case 'bleed':
			return listAt(type, ['consumers']).length === 0;
	}
}

/** What the type data say of themselves as a whole: the source that most numbers have. */
function pageProvenance(own: OwnType): TypeData['provenance'] {
	const sources = Object.values(own.provenance.numbers);
	const most = (pick: (source: NumberSource) => string | null): string | null => {
		const counts = new Map<string, number>();
		for (const source of sources) {
			const found = pick(source);
			if (found !== null) counts.set(found, (counts.get(found) ?? 0) + 1);
		}
		return [...counts].sort(([, a], [, b]) => b - a)[0]?.[0] ?? null;
	};
	const notStated = 'not stated';
	const state = own.standing === 'open' ? 'draft' : own.standing;
	const checkedBy = state === 'draft' ? null : most((one) => one.checkedBy);
	return {
		document: most((one) => one.document) ?? notStated,
		revision: most((one) => one.revision) ?? notStated,
		typedBy: most((one) => one.typedBy) ?? notStated,
		checkedBy,
		state,
	};
}
