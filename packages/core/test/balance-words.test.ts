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

	it('sweep moves back and forward, a chordwise weight toward an edge', () => {
		const sweep = { ...link, kind: 'sweep', unit: 'mm', step: 0.5 };
		expect(say(sweep, 0, 1.5)).toBe('Blade C sweep: move back by 1.5 mm (0.0 to +1.5)');
		expect(say(sweep, 0, -1)).toBe('Blade C sweep: move forward by 1.0 mm (0.0 to −1.0)');
		expect(say({ ...sweep, kind: 'chordwise', step: 1 }, 0, 2)).toBe(
			'Blade C chordwise: move toward the trailing edge by 2 mm (0 to +2)',
		);
	});

	it('a point of a tail rotor that sits on no blade is named by itself', () => {
		const point: Adjuster = { ...plate, id: 'point 90°', kind: 'screw', blade: null, passAngleDeg: 90, unit: 'g' };
		expect(say({ ...point, step: 0.5 }, 4, 7.5)).toBe('Point 90°: add 3.5 g (4.0 to 7.5)');
		expect(say({ ...point, kind: 'washer', unit: 'washer' }, 2, 1)).toBe('Point 90°: take off 1 washer (2 to 1)');
	});

	it('a point built of pieces says what then stands there', () => {
		const built = { ...plate, unit: 'g', pieces: [{ id: 'thick washer', amount: 2.5 }] };
		expect(changeWords(built, 0, 5, [built], { 'thick washer': 2 })).toBe(
			'Blade A: add 5 g (0 to 5), then fitted: 2 × thick washer',
		);
		expect(changeWords(built, 2.5, 0, [built], {})).toBe('Blade A: take off 2.5 g (2.5 to 0.0), then fitted: nothing');
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
