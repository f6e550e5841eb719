import { describe, expect, it } from 'vitest';
import type { Adjuster } from '../src/balance/index.js';
import { changeWords } from '../src/balance/words/change-words.js';

const plate: Adjuster = {
	id: 'plate-A',
	kind: 'plate',
	blade: 'A',
	passAngleDeg: 0,
	min: 0,
	max: 8,
	step: 1,
	unit: 'plate',
};
const tab: Adjuster = { ...plate, id: 'tab-A', kind: 'tab', min: -4, max: 4, step: 0.5, unit: 'deg' };
const link: Adjuster = { ...plate, id: 'link-C', kind: 'link', blade: 'C', min: -6, max: 6, unit: 'flat' };
const say = (a: Adjuster, from: number, to: number, others: readonly Adjuster[] = []) =>
	changeWords(a, from, to, [a, ...others]);

describe('[BAL-12] changeWords(adjuster, from, to, all)', () => {
	it('mass is added and taken off, one piece has no plural', () => {
		expect(say(plate, 0, 2)).toBe('Blade A: add 2 plates (0 to 2)');
		expect(say(plate, 3, 2)).toBe('Blade A: take off 1 plate (3 to 2)');
		expect(say({ ...plate, unit: 'g', pieces: [{ id: 'w', amount: 1.7 }] }, 0, 3.4)).toBe(
			'Blade A: add 3.4 g (0.0 to 3.4)',
		);
	});

	it('a tab is bent, with signs on both settings', () => {
		expect(say(tab, 0.5, 2)).toBe('Blade A tab: bend the trailing edge up 1.5° (+0.5 to +2.0)');
		expect(say(tab, 0, -1)).toBe('Blade A tab: bend the trailing edge down 1.0° (0.0 to −1.0)');
	});

	it('a link is made longer or shorter', () => {
		expect(say(link, 0, 2)).toBe('Blade C link: make longer by 2 flats (0 to +2)');
		expect(say(link, 1, -1)).toBe('Blade C link: make shorter by 2 flats (+1 to −1)');
	});

	it('the user’s own words go before ours', () => {
		const positive = { plus: 'screw out', minus: 'screw in' };
		expect(say({ ...link, positive }, 0, -3)).toBe('Blade C link: screw in 3 flats (0 to −3)');
	});

	it('an unknown kind, a point on no blade and two of a kind on one blade are named', () => {
		expect(say({ ...link, kind: 'damper', unit: 'click' }, 0, 1)).toBe('Blade C damper: increase by 1 click (0 to +1)');
		expect(say({ ...plate, id: 'point 3', blade: null }, 0, 1)).toBe('Point 3: add 1 plate (0 to 1)');
		expect(say(plate, 0, 1, [{ ...plate, id: 'plate-A-tip' }])).toBe('Blade A plate-A: add 1 plate (0 to 1)');
	});
});
