import { describe, expect, it } from 'vitest';
import {
	bankCard,
	cardOutline,
	firstLook,
	guessedPxPerMm,
	isPlausiblePxPerMm,
	readLookChoice,
	steppedScale,
	writeLookChoice,
} from '../src/lib/look/look-choice.js';

describe('readLookChoice(kept)', () => {
	it('gives back what writeLookChoice wrote', () => {
		const choice = {
			theme: 'night',
			hand: 'left',
			pxPerMm: 5.2,
			mark: ',',
			vibrationUnit: 'mm/s',
			hasLetterKeys: false,
		} as const;
		expect(readLookChoice(writeLookChoice(choice))).toEqual(choice);
	});

	it.each([
		null,
		'',
		'{',
		'[]',
		'7',
		'"night"',
		'{"theme":"dusk","hand":3,"pxPerMm":"5"}',
		'{"pxPerMm":900}',
		'{"mark":";","vibrationUnit":"g"}',
	])('falls back to the first look for %s', (kept) => {
		expect(readLookChoice(kept)).toEqual(firstLook);
	});

	it('keeps the good fields of a partly broken choice', () => {
		expect(readLookChoice('{"theme":"sun","pxPerMm":-1}')).toEqual({ ...firstLook, theme: 'sun' });
	});
});

describe('cardOutline(pxPerMm, roomPx)', () => {
	it('has the true width of a card at the scale', () => {
		const pxPerMm = 96 / 25.4;
		expect(cardOutline(pxPerMm, 800).widthPx).toBeCloseTo((85.6 / 25.4) * 96, 9);
	});

	it('stands upright where a lying card would not fit', () => {
		const outline = cardOutline(6, 390);
		expect(outline.edge).toBe('short');
		expect(outline.widthMm).toBe(bankCard.heightMm);
		expect(outline.widthPx).toBeLessThan(390);
	});
});

describe('steppedScale(pxPerMm, steps)', () => {
	it('goes up and down by the same step, and stays among real screens', () => {
		expect(steppedScale(steppedScale(5, 3), -3)).toBeCloseTo(5, 12);
		expect(isPlausiblePxPerMm(steppedScale(5, 10_000))).toBe(true);
		expect(isPlausiblePxPerMm(steppedScale(5, -10_000))).toBe(true);
	});
});

describe('guessedPxPerMm(roomPx)', () => {
	it('is a scale that can be kept', () => {
		for (const roomPx of [0, 390, 820, 1400]) expect(isPlausiblePxPerMm(guessedPxPerMm(roomPx))).toBe(true);
	});
});
