import { childPath } from '@stillmast/formats/problem';
import { isSamePerson, type ProvenanceDocument, placedNumbers, placeOf } from '@stillmast/formats/provenance';
import { fill } from '$lib/words/fill.js';
import { typeData } from '$lib/words/type-data.js';
import type { DraftFault } from './draft-faults.js';
import { faultWords } from './fault-words.js';
import { type DraftName, faultsOf, isUsable, type OwnState, type OwnType, stateOf } from './own-type.js';
import type { OwnTypeStore } from './own-type-store.js';
import { type Keys, type Tree, textAt, valueAt, withValue } from './tree.js';

/** A place in one of the documents. */
export interface FieldPlace {
	readonly document: DraftName;
	readonly keys: Keys;
}

/** Where the numbers typed next are read from. */
export interface CurrentSource {
	document: string;
	revision: string;
	page: string;
	typedBy: string;
}

/** One type's data while a person types it: every stroke is kept on the device and judged by the schemas. */
export class Editing {
	own: OwnType = $state.raw() as OwnType;
	source: CurrentSource = $state({ document: '', revision: '', page: '', typedBy: '' });
	/** The number gone to last: its source is shown. */
	atNumber: FieldPlace | null = $state.raw(null);
	/** Why the last stroke is not on the disk; null when it is. */
	trouble: string | null = $state(null);
	readonly faults: readonly DraftFault[] = $derived.by(() => faultsOf(this.own));
	readonly state: OwnState = $derived.by(() => stateOf(this.own));
	readonly isUsable: boolean = $derived.by(() => isUsable(this.own, this.faults));
	readonly isLocked: boolean = $derived.by(() => this.own.standing !== 'open');
	readonly #store: OwnTypeStore;
	readonly #nowMs: () => number;

	constructor(own: OwnType, typedBy: string, store: OwnTypeStore, nowMs: () => number) {
		this.own = own;
		this.#store = store;
		this.#nowMs = nowMs;
		const last = Object.values(own.provenance.numbers).at(-1);
		this.source = {
			document: last?.document ?? '',
			revision: last?.revision ?? '',
			page: last?.page ?? '',
			typedBy: typedBy === '' ? (last?.typedBy ?? '') : typedBy,
		};
	}

	tree(document: DraftName): Tree {
		return this.own.documents[document];
	}

	value({ document, keys }: FieldPlace): unknown {
		return valueAt(this.own.documents[document], keys);
	}

	/** Puts one value into a place, or into several at once; an empty one takes the field away. */
	write(places: readonly FieldPlace[], value: unknown): void {
		const next = value === '' ? undefined : value;
		let { type, card } = this.own.documents;
		for (const { document, keys } of places) {
			if (document === 'type') type = withValue(type, keys, next);
			else card = withValue(card, keys, next);
		}
		const documents = { type, card };
		this.#keep({ ...this.own, documents });
		if (typeof next === 'number') this.#sourceNumbers(places);
	}

	/** Replaces a part of a document by what follows from it; `typed` are the numbers among it that were read off a page. */
	reshape(document: DraftName, keys: Keys, change: (part: Tree) => Tree, typed: readonly FieldPlace[] = []): void {
		const tree = this.own.documents[document];
		const documents = { ...this.own.documents, [document]: withValue(tree, keys, change(valueAt(tree, keys))) };
		this.#keep({ ...this.own, documents });
		this.#sourceNumbers(typed);
	}

	/** The sentence under a field; null when nothing is wrong there but that it is empty. */
	wrongAt({ document, keys }: FieldPlace): string | null {
		const fault = this.#faultAt(document, keys);
		return fault === undefined || fault.isMissing ? null : faultWords(this.own.documents, fault);
	}

	isMissingAt({ document, keys }: FieldPlace): boolean {
		return this.#faultAt(document, keys)?.isMissing ?? false;
	}

	get hasSource(): boolean {
		return Object.values(this.source).every((part) => part.trim() !== '');
	}

	/** The source above as a reference: "Flight manual 3-12". */
	get reference(): string {
		return `${this.source.document} ${this.source.page}`.trim() || '-';
	}

	sourceOf({ document, keys }: FieldPlace): ProvenanceDocument['numbers'][string] | undefined {
		return this.own.provenance.numbers[placeOf(document, this.own.documents[document], keys)];
	}

	/** Gives the number gone to last the source above. */
	takeSource(): void {
		if (this.atNumber !== null) this.#sourceNumbers([this.atNumber]);
	}

	/** One person's word that a number stands so on its page. Answers with what is in the way. */
	compare(places: readonly string[], person: string): string | null {
		if (person.trim() === '') return typeData.compare.needWho;
		const values = this.#numbers();
		const numbers = { ...this.own.provenance.numbers };
		for (const place of places) {
			const source = numbers[place];
			const value = values.get(place);
			if (source === undefined || value === undefined) return typeData.compare.noSource;
			if (isSamePerson(source.typedBy, person)) return typeData.compare.samePerson;
			numbers[place] = { ...source, value, checkedBy: person.trim() };
		}
		this.#keep({ ...this.own, provenance: { ...this.own.provenance, numbers } });
		return null;
	}

	takeBack(places: readonly string[]): void {
		const numbers = { ...this.own.provenance.numbers };
		for (const place of places) {
			const source = numbers[place];
			if (source !== undefined) numbers[place] = { ...source, checkedBy: null };
		}
		this.#keep({ ...this.own, provenance: { ...this.own.provenance, numbers } });
	}

	/** Takes the place of this data as a whole: an import, another standing. */
	replace(own: OwnType): void {
		this.#keep(own);
	}

	#faultAt(document: DraftName, keys: Keys): DraftFault | undefined {
		const path = childPath('$', ...keys);
		return this.faults.find((one) => one.document === document && one.path === path);
	}

	#numbers(): ReadonlyMap<string, number> {
		const { type, card } = this.own.documents;
		return new Map(
			[...placedNumbers('type', type), ...placedNumbers('card', card)].map(({ place, value }) => [place, value]),
		);
	}

	/** A number typed anew takes the source above and has not been compared. */
	#sourceNumbers(places: readonly FieldPlace[]): void {
		if (!this.hasSource || places.length === 0) return;
		const { document, revision, page, typedBy } = this.source;
		const numbers = { ...this.own.provenance.numbers };
		let documents = this.own.documents;
		for (const place of places) {
			const tree = documents[place.document];
			const value = valueAt(tree, place.keys);
			if (typeof value !== 'number') continue;
			numbers[placeOf(place.document, tree, place.keys)] = {
				value,
				document: document.trim(),
				revision: revision.trim(),
				page: page.trim(),
				typedBy: typedBy.trim(),
				checkedBy: null,
			};
			documents = {
				...documents,
				[place.document]: withReference(tree, place.keys, `${document.trim()} ${page.trim()}`),
			};
		}
		this.#keep({ ...this.own, documents, provenance: { ...this.own.provenance, numbers } });
	}

	#keep(own: OwnType): void {
		this.own = { ...own, savedAtMs: this.#nowMs() };
		void this.#store.put(this.own).then((put) => {
			this.trouble = put.ok ? null : fill(typeData.notKept, { reason: put.problem.code });
		});
	}
}

/** Lines and consumers quote their source; the quotation is made while it is empty. */
function withReference(tree: Tree, keys: Keys, reference: string): Tree {
	const [list, at] = keys;
	if ((list !== 'limits' && list !== 'consumers') || at === undefined) return tree;
	return textAt(tree, [list, at, 'reference']) === '' ? withValue(tree, [list, at, 'reference'], reference) : tree;
}
