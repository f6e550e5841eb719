import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import type { DecimalMark } from '$lib/words/writing.svelte.js';

/** What is being written: figures with a point inside, whatever mark the person uses. */
export interface PadEntry {
	readonly text: string;
}

export type PadKey = '0' | '1' | '2' | '3' | '4' | '5' | '6' | '7' | '8' | '9' | 'mark' | 'clear' | 'back' | 'sign';

/** What a number may be: range and decimals the quantity carries. */
export interface PadRule {
	readonly low: number;
	readonly high: number;
	readonly digits: number;
	readonly unit: string;
	readonly mark: DecimalMark;
}

export type PadReading =
	| { readonly state: 'empty' }
	| { readonly state: 'ready'; readonly value: number }
	| { readonly state: 'out-of-range'; readonly value: number };

export const emptyEntry: PadEntry = { text: '' };
const mostSigns = 8;

/** The entry after one key. A second mark or a decimal too many changes nothing. */
export function padPressed(entry: PadEntry, key: PadKey, rule: PadRule): PadEntry {
	switch (key) {
		case 'clear':
			return emptyEntry;
		case 'back':
			return { text: entry.text.slice(0, -1) };
		case 'sign':
			if (rule.low >= 0) return entry;
			return { text: entry.text.startsWith('-') ? entry.text.slice(1) : `-${entry.text}` };
		case 'mark':
			return rule.digits === 0 || entry.text.includes('.') ? entry : { text: `${leading(entry.text)}.` };
		default:
			return withFigure(entry, key, rule);
	}
}

/** The pad's key for a key of a keyboard: both decimal marks are understood. */
export function padKeyOf(keyboardKey: string): PadKey | null {
	if (/^[0-9]$/.test(keyboardKey)) return keyboardKey as PadKey;
	switch (keyboardKey) {
		case '.':
		case ',':
			return 'mark';
		case '-':
		case '\u2212':
			return 'sign';
		case 'Backspace':
			return 'back';
		case 'Delete':
			return 'clear';
		default:
			return null;
	}
}

/** The entry a pasted or dictated text amounts to: every sign the pad knows, in order, the rest left out. */
export function padEntryOf(text: string, rule: PadRule): PadEntry {
	return [...text].reduce((entry, sign) => {
		const key = padKeyOf(sign);
		return key === null ? entry : padPressed(entry, key, rule);
	}, emptyEntry);
}

/** The number so far, judged only against what such a number can be. */
export function padReading(entry: PadEntry, rule: PadRule): PadReading {
	const value = Number(entry.text);
	if (!/[0-9]/.test(entry.text) || !Number.isFinite(value)) return { state: 'empty' };
	return value < rule.low || value > rule.high ? { state: 'out-of-range', value } : { state: 'ready', value };
}

export interface PadDrawing {
	/** As written so far, with the person's mark and a true minus. */
	readonly shown: string;
	readonly keepLabel: string;
	readonly canKeep: boolean;
	/** Why it can't be kept, or null. */
	readonly remark: string | null;
	readonly markSign: DecimalMark;
	readonly hasSign: boolean;
	readonly hasMark: boolean;
}

/** What the pad shows. */
export function padDrawing(entry: PadEntry, rule: PadRule): PadDrawing {
	const reading = padReading(entry, rule);
	const shown = entry.text.replace('.', rule.mark).replace('-', '\u2212');
	const bound = (value: number) => numberText(value, { digits: rule.digits, mark: rule.mark });
	return {
		shown,
		keepLabel: fill(english.pad.keep, { value: shown === '' ? '' : `${shown} ${rule.unit}` }).trim(),
		canKeep: reading.state === 'ready',
		remark:
			reading.state === 'out-of-range'
				? fill(english.pad.outOfRange, { low: bound(rule.low), high: `${bound(rule.high)} ${rule.unit}` })
				: null,
		markSign: rule.mark,
		hasSign: rule.low < 0,
		hasMark: rule.digits > 0,
	};
}

function withFigure(entry: PadEntry, figure: string, rule: PadRule): PadEntry {
	const decimals = entry.text.split('.')[1];
	if (decimals !== undefined && decimals.length >= rule.digits + 1) return entry;
	if (entry.text.length >= mostSigns) return entry;
	if (entry.text === '0') return { text: figure };
	if (entry.text === '-0') return { text: `-${figure}` };
	return { text: entry.text + figure };
}

/** A leading zero before the mark, so that ".14" reads "0.14". */
function leading(text: string): string {
	return text === '' || text === '-' ? `${text}0` : text;
}
