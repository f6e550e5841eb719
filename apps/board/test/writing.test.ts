import { afterEach, describe, expect, it } from 'vitest';
import { padRuleOf } from '../src/lib/check/ask.js';
import { Look } from '../src/lib/look/look.svelte.js';
import { numberText, readNumber } from '../src/lib/words/number.js';
import { phasorText, vibrationLimitText, vibrationScale } from '../src/lib/words/vibration.js';

const ask = { kind: 'vibration', rotor: 'main', channel: 'hover/lateral' } as const;

afterEach(() => new Look(null).choose({ mark: '.', vibrationUnit: 'ips' }));

describe('how this device writes', () => {
	it('[BRD-3] follows what was chosen, for what is shown and for what the pad asks', () => {
		expect([phasorText(0.24, 118), padRuleOf(ask, 'amplitude').unit]).toEqual(['0.24 ips 118\u00b0', 'ips']);
		new Look(null).choose({ mark: ',', vibrationUnit: 'mm/s' });
		expect(phasorText(0.24, 118)).toBe('6,1 mm/s 118\u00b0');
		expect(padRuleOf(ask, 'amplitude')).toMatchObject({ unit: 'mm/s', digits: 1, mark: ',' });
		expect(numberText(92.7, { digits: 1 })).toBe('92,7');
	});

	it('never rounds a limit to the figures of a reading: 0.20 ips is 5.08 mm/s', () => {
		new Look(null).choose({ vibrationUnit: 'mm/s' });
		expect(vibrationLimitText(0.2)).toBe('5.08 mm/s');
	});

	it('[BRD-3] a level typed in mm/s comes back as typed', () => {
		new Look(null).choose({ vibrationUnit: 'mm/s' });
		for (let tenths = 0; tenths <= 600; tenths += 1) {
			const typed = tenths / 10;
			const ips = typed / vibrationScale().perIps;
			expect(phasorText(ips, null)).toBe(`${typed.toFixed(1)} mm/s`);
		}
	});

	it('takes both decimal marks, whichever was chosen', () => {
		new Look(null).choose({ mark: ',' });
		expect([readNumber('0,24'), readNumber('0.24')]).toEqual([0.24, 0.24]);
		expect(readNumber('1.500')).toBeNull();
	});
});
