import type { DecimalMark, VibrationUnit } from '$lib/words/writing.svelte.js';
import { type ThemeName, themeNames } from './theme-tokens.js';

/** The hand that works the glass: its side carries the keys. */
export type Hand = 'left' | 'right';

/** Decimal marks and units to choose from, the first one until somebody chose. */
export const marks: readonly DecimalMark[] = ['.', ','];
export const vibrationUnits: readonly VibrationUnit[] = ['ips', 'mm/s'];

/** What a person chose for this device. `pxPerMm` is null until the bank card was laid on the outline. */
export interface LookChoice {
	readonly theme: ThemeName;
	readonly hand: Hand;
	readonly pxPerMm: number | null;
	readonly mark: DecimalMark;
	readonly vibrationUnit: VibrationUnit;
	/** Single letters work as keys (WCAG 2.2, 2.1.4: they can be switched off). */
	readonly hasLetterKeys: boolean;
}

export const firstLook: LookChoice = {
	theme: 'day',
	hand: 'right',
	pxPerMm: null,
	mark: '.',
	vibrationUnit: 'ips',
	hasLetterKeys: true,
};

/** An ISO/IEC 7810 ID-1 card: 85.60 × 53.98 mm. Every bank card has this size. */
export const bankCard = { widthMm: 85.6, heightMm: 53.98 } as const;

/** Plausible glass: 60 CSS px an inch (a large desk screen) up to 260 (a zoomed phone). */
const pxPerMmRange = { least: 60 / 25.4, most: 260 / 25.4 } as const;

/** True when a measured scale can belong to a real screen. */
export function isPlausiblePxPerMm(pxPerMm: number): boolean {
	return Number.isFinite(pxPerMm) && pxPerMm >= pxPerMmRange.least && pxPerMm <= pxPerMmRange.most;
}

/** Edge of the card that is fitted: its long one, or its short one where the screen is narrower than a card. */
export type CardEdge = 'long' | 'short';

/** The outline to lay a card on, as it must be drawn at a scale. */
export interface CardOutline {
	readonly edge: CardEdge;
	readonly widthMm: number;
	readonly heightMm: number;
	readonly widthPx: number;
}

/** One press makes the outline about 0.3 mm wider on common glass. */
export const scaleStepPxPerMm = 0.02;

/**
 * The outline of a bank card at a scale, upright where a lying card would not fit.
 * @param pxPerMm CSS px per millimetre
 * @param roomPx width there is for the outline, CSS px
 */
export function cardOutline(pxPerMm: number, roomPx: number): CardOutline {
	const isUpright = bankCard.widthMm * pxPerMm > roomPx;
	const [widthMm, heightMm] = isUpright ? [bankCard.heightMm, bankCard.widthMm] : [bankCard.widthMm, bankCard.heightMm];
	return { edge: isUpright ? 'short' : 'long', widthMm, heightMm, widthPx: widthMm * pxPerMm };
}

/** The scale after some presses of "Wider" or "Narrower", kept to what real screens have. */
export function steppedScale(pxPerMm: number, steps: number): number {
	const stepped = pxPerMm + steps * scaleStepPxPerMm;
	return Math.min(pxPerMmRange.most, Math.max(pxPerMmRange.least, stepped));
}

/** A careful first guess: 96 CSS px an inch on large screens, 130 where a tablet or phone is likely. */
export function guessedPxPerMm(roomPx: number): number {
	return (roomPx > 1100 ? 96 : 130) / 25.4;
}

/**
 * Reads the kept choice. Anything unreadable or out of range falls back to the first look, field by field,
 * because a broken choice must never keep the board from opening.
 */
export function readLookChoice(kept: string | null): LookChoice {
	const found = parsedObject(kept);
	const theme = themeNames.find((name) => name === found.theme) ?? firstLook.theme;
	const hand: Hand = found.hand === 'left' ? 'left' : firstLook.hand;
	const scale = found.pxPerMm;
	const pxPerMm = typeof scale === 'number' && isPlausiblePxPerMm(scale) ? scale : firstLook.pxPerMm;
	const mark = marks.find((one) => one === found.mark) ?? firstLook.mark;
	const vibrationUnit = vibrationUnits.find((one) => one === found.vibrationUnit) ?? firstLook.vibrationUnit;
	return { theme, hand, pxPerMm, mark, vibrationUnit, hasLetterKeys: found.hasLetterKeys !== false };
}

/** Text form of the choice, the inverse of `readLookChoice`. */
export function writeLookChoice(choice: LookChoice): string {
	return JSON.stringify(choice);
}

function parsedObject(text: string | null): Readonly<Record<string, unknown>> {
	if (text === null) return {};
	try {
		const value: unknown = JSON.parse(text);
		return typeof value === 'object' && value !== null ? { ...value } : {};
	} catch {
		return {};
	}
}
