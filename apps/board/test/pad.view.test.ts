import { describe, expect, it } from 'vitest';
import {
	emptyEntry,
	type PadKey,
	type PadRule,
	padDrawing,
	padEntryOf,
	padKeyOf,
	padPressed,
	padReading,
} from '../src/lib/parts/pad/pad.view.js';

const ips: PadRule = { low: 0, high: 5, digits: 2, unit: 'ips', mark: '.' };
const degrees: PadRule = { low: -5, high: 5, digits: 1, unit: '\u00b0', mark: ',' };
const typed = (keys: readonly PadKey[], rule: PadRule) =>
	keys.reduce((entry, key) => padPressed(entry, key, rule), emptyEntry);

describe('padPressed(entry, key, rule)', () => {
	it('writes a number figure by figure, with a leading zero before the mark', () => {
		expect(padReading(typed(['mark', '1', '4'], ips), ips)).toEqual({ state: 'ready', value: 0.14 });
		expect(typed(['mark'], ips).text).toBe('0.');
	});

	it('takes no second mark, and one decimal more than usual at most', () => {
		expect(typed(['1', 'mark', '2', 'mark', '3', '4', '5', '6'], ips).text).toBe('1.234');
	});

	it('has no leading zeros and no mark where a quantity has no decimals', () => {
		expect(typed(['0', '0', '7'], ips).text).toBe('7');
		expect(typed(['7', 'mark', '1'], { ...ips, digits: 0, high: 100 }).text).toBe('71');
	});

	it('changes the sign only of quantities that can be negative', () => {
		expect(padReading(typed(['1', 'sign', 'mark', '5'], degrees), degrees)).toEqual({ state: 'ready', value: -1.5 });
		expect(typed(['1', 'sign', 'sign'], degrees).text).toBe('1');
		expect(typed(['1', 'sign'], ips).text).toBe('1');
	});

	it('takes the last figure off, or everything', () => {
		expect(typed(['1', '2', 'back'], ips).text).toBe('1');
		expect(typed(['1', '2', 'clear'], ips).text).toBe('');
		expect(typed(['back'], ips).text).toBe('');
	});
});

describe('padReading(entry, rule)', () => {
	it.each(['', '-', '0.', '-0.'])('never makes a number out of nothing: "%s"', (text) => {
		const reading = padReading({ text }, degrees);
		expect(reading.state === 'empty' || (reading.state === 'ready' && Math.abs(reading.value) === 0)).toBe(true);
	});

	it('is empty without a figure', () => {
		expect(padReading({ text: '-' }, degrees)).toEqual({ state: 'empty' });
	});

	it('says when the number cannot be such a quantity, and takes both ends of the range', () => {
		expect(padReading({ text: '5.01' }, ips)).toEqual({ state: 'out-of-range', value: 5.01 });
		expect(padReading({ text: '5' }, ips).state).toBe('ready');
		expect(padReading({ text: '-5' }, degrees).state).toBe('ready');
	});
});

describe('padKeyOf(keyboardKey)', () => {
	it('understands point and comma alike', () => {
		expect(padKeyOf('.')).toBe('mark');
		expect(padKeyOf(',')).toBe('mark');
	});

	it('leaves other keys alone', () => {
		for (const key of ['a', 'Enter', 'Tab', 'ArrowUp', '12']) expect(padKeyOf(key)).toBeNull();
	});
});

describe('padDrawing(entry, rule)', () => {
	it("shows the person's mark and a true minus", () => {
		expect(padDrawing({ text: '-1.5' }, degrees).shown).toBe('\u22121,5');
	});

	it('offers to keep what was written, and says why it cannot', () => {
		expect(padDrawing({ text: '0.14' }, ips)).toMatchObject({
			keepLabel: 'Keep 0.14 ips',
			canKeep: true,
			remark: null,
		});
		const refused = padDrawing({ text: '14' }, ips);
		expect(refused.canKeep).toBe(false);
		expect(refused.remark).toBe('Not between 0.00 and 5.00 ips. Read it again.');
		expect(padDrawing(emptyEntry, ips)).toMatchObject({ keepLabel: 'Keep', canKeep: false });
	});
});

describe('padEntryOf(text, rule)', () => {
	it('takes a pasted number with its unit, either mark', () => {
		expect(padReading(padEntryOf('0,14 ips', ips), ips)).toEqual({ state: 'ready', value: 0.14 });
		expect(padReading(padEntryOf('\u22121.5', degrees), degrees)).toEqual({ state: 'ready', value: -1.5 });
	});

	it('is empty for words', () => {
		expect(padEntryOf('lateral', ips)).toEqual(emptyEntry);
	});
});
