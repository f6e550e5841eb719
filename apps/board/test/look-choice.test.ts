import { describe, expect, it } from 'vitest';
import { bankCard, firstLook, pxPerMmFromCard, readLookChoice, writeLookChoice } from '../src/lib/look/look-choice.js';

describe('readLookChoice(kept)', () => {
	it('gives back what writeLookChoice wrote', () => {
		const choice = { theme: 'night', hand: 'left', pxPerMm: 5.2 } as const;
		expect(readLookChoice(writeLookChoice(choice))).toEqual(choice);
	});

	it.each([null, '', '{', '[]', '7', '"night"', '{"theme":"dusk","hand":3,"pxPerMm":"5"}', '{"pxPerMm":900}'])(
		'falls back to the first look for %s',
		(kept) => {
			expect(readLookChoice(kept)).toEqual(firstLook);
		},
	);

	it('keeps the good fields of a partly broken choice', () => {
		expect(readLookChoice('{"theme":"sun","pxPerMm":-1}')).toEqual({ ...firstLook, theme: 'sun' });
	});
});

describe('pxPerMmFromCard(outlineWidthPx)', () => {
	it('is 96 / 25.4 on glass whose CSS inch is a real inch', () => {
		expect(pxPerMmFromCard((bankCard.widthMm / 25.4) * 96)).toBeCloseTo(96 / 25.4, 12);
	});

	it('is null for a width no real screen could show', () => {
		expect(pxPerMmFromCard(20)).toBeNull();
		expect(pxPerMmFromCard(5000)).toBeNull();
		expect(pxPerMmFromCard(Number.NaN)).toBeNull();
	});
});
