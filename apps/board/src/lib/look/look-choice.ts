import { type ThemeName, themeNames } from './theme-tokens.js';

/** The hand that works the glass: its side carries the keys. */
export type Hand = 'left' | 'right';

/** What a person chose for this device. `pxPerMm` is null until the bank card was laid on the outline. */
export interface LookChoice {
	readonly theme: ThemeName;
	readonly hand: Hand;
	readonly pxPerMm: number | null;
}

export const firstLook: LookChoice = { theme: 'day', hand: 'right', pxPerMm: null };

/** An ISO/IEC 7810 ID-1 card: 85.60 × 53.98 mm. Every bank card has this size. */
export const bankCard = { widthMm: 85.6, heightMm: 53.98 } as const;

/** Plausible glass: 60 CSS px an inch (a large desk screen) up to 260 (a zoomed phone). */
const pxPerMmRange = { least: 60 / 25.4, most: 260 / 25.4 } as const;

/** True when a measured scale can belong to a real screen. */
export function isPlausiblePxPerMm(pxPerMm: number): boolean {
	return Number.isFinite(pxPerMm) && pxPerMm >= pxPerMmRange.least && pxPerMm <= pxPerMmRange.most;
}

/**
 * Scale found by fitting the outline to a bank card.
 * @param outlineWidthPx width of the outline when it matched the card, CSS px
 * @returns CSS px per millimetre, or null when no real screen has that scale
 */
export function pxPerMmFromCard(outlineWidthPx: number): number | null {
	const pxPerMm = outlineWidthPx / bankCard.widthMm;
	return isPlausiblePxPerMm(pxPerMm) ? pxPerMm : null;
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
	return { theme, hand, pxPerMm };
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
