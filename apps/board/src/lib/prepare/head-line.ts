import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { PenName } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { type DecimalMark, exactText, readNumber } from '$lib/words/number.js';
import { prepare as words } from '$lib/words/prepare.js';
import { writing } from '$lib/words/writing.svelte.js';

/** One line of a sheet that is prepared before a flight: what it is called, and what stands in the record. */
export interface HeadLine {
	/** The header field, or the quantity of a flight. */
	readonly field: string;
	readonly label: string;
	/** Empty for words. */
	readonly unit: string;
	readonly kind: 'words' | 'lines' | 'number' | 'day';
	/** Of a number. */
	readonly range?: { readonly low: number; readonly high: number };
	/** Nobody, one pen, or several that differ. */
	readonly wrote: readonly HeadValue[];
}

export interface HeadValue {
	readonly hash: string;
	/** As it stands in a box to be changed: no unit. */
	readonly typed: string;
	/** As it is read: with its unit. */
	readonly text: string;
	readonly pen: PenName | null;
	readonly time: string;
}

export interface DraftTrouble extends Problem {
	readonly code: 'draft';
	readonly found: string;
}

const mostSigns = 500;

/** What stands in a box: what is being typed, else what is in the record. */
export function boxText(line: HeadLine, drafts: Readonly<Record<string, string>>): string {
	return drafts[line.field] ?? line.wrote[0]?.typed ?? '';
}

/**
 * The boxes that say something else than the record, each read by its kind; a box emptied takes its value back, as null.
 * @returns the values by field, or the first box that cannot be read, in a sentence
 */
export function readDrafts(
	lines: readonly HeadLine[],
	drafts: Readonly<Record<string, string>>,
	mark: DecimalMark = writing.mark,
): Result<ReadonlyMap<string, string | number | null>, DraftTrouble> {
	const read = new Map<string, string | number | null>();
	for (const line of lines) {
		const draft = drafts[line.field]?.trim();
		if (draft === undefined || (line.wrote.length < 2 && draft === (line.wrote[0]?.typed ?? ''))) continue;
		const value = draft === '' ? ok(null) : readOne(line, draft, mark);
		if (!value.ok) return value;
		read.set(line.field, value.value);
	}
	return read.size === 0 ? trouble(words.nothing) : ok(read);
}

function readOne(line: HeadLine, draft: string, mark: DecimalMark): Result<string | number, DraftTrouble> {
	const field = line.label;
	switch (line.kind) {
		case 'words':
		case 'lines':
			return draft.length > mostSigns ? trouble(fill(words.tooLong, { field, most: String(mostSigns) })) : ok(draft);
		case 'day':
			return isDay(draft) ? ok(draft) : trouble(fill(words.notDay, { field }));
		case 'number': {
			const value = readNumber(draft, mark);
			if (value === null) return trouble(fill(words.notNumber, { field }));
			const { low, high } = line.range ?? { low: 0, high: Number.MAX_SAFE_INTEGER };
			if (value >= low && value <= high) return ok(value);
			return trouble(fill(words.outOfRange, { field, low: exactText(low), high: exactText(high) }));
		}
	}
}

/** A day of the calendar as ISO 8601 writes it: "2026-02-30" is none. */
export function isDay(text: string): boolean {
	if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
	const time = Date.parse(`${text}T00:00:00.000Z`);
	return Number.isFinite(time) && new Date(time).toISOString().startsWith(text);
}

function trouble(found: string): Result<never, DraftTrouble> {
	return fail({ code: 'draft', found });
}
