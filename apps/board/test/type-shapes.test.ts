import { describe, expect, it } from 'vitest';
import {
	axisText,
	chartPreview,
	isTable,
	newChart,
	withAxisValues,
	withFamilies,
} from '../src/lib/editor/chart-table.js';
import { withSpared } from '../src/lib/editor/dependency-shape.js';
import {
	adjustersOf,
	kindsOf,
	newRotor,
	withBlades,
	withCoefficient,
	withKind,
	withNamed,
	withoutKind,
	withoutNamed,
} from '../src/lib/editor/rotor-shape.js';
import { moved, withReadings } from '../src/lib/editor/step-shape.js';
import { listAt, textAt, valueAt, withValue } from '../src/lib/editor/tree.js';
import { exactText, readNumber } from '../src/lib/words/number.js';

const rotor = withNamed(
	withNamed(withBlades(newRotor('Main rotor', []), 3), 'regimes', '80 kt'),
	'stations',
	'lateral',
);
const ids = (list: string) => (tree: unknown) => listAt(tree, [list]).map((one) => textAt(one, ['id']));

describe('withBlades(rotor, count)', () => {
	it('puts blades evenly around and keeps their paint', () => {
		const painted = withValue(rotor, ['blades', 0, 'paint'], 'red');
		const four = withBlades(painted, 4);
		expect(listAt(four, ['blades'])).toEqual([
			{ id: 'A', passAngleDeg: 0, paint: 'red' },
			{ id: 'B', passAngleDeg: 90 },
			{ id: 'C', passAngleDeg: 180 },
			{ id: 'D', passAngleDeg: 270 },
		]);
	});

	it('gives a new blade the settings of every kind at blades, as they were typed', () => {
		const withPlates = withValue(withKind(rotor, 'plate', 'blades'), ['adjusters', 0, 'max'], 8);
		const four = withBlades(withPlates, 4);
		expect(ids('adjusters')(four)).toEqual(['plate-A', 'plate-B', 'plate-C', 'plate-D']);
		expect(valueAt(four, ['adjusters', 3, 'max'])).toBe(8);
	});
});

describe('withNamed, withoutNamed', () => {
	it('make a reading of every regime and place, and take it away with what hangs on it', () => {
		const two = withNamed(rotor, 'stations', 'vertical');
		expect(ids('channels')(two)).toEqual(['80-kt/lateral', '80-kt/vertical']);
		const known = withCoefficient(two, '80-kt/vertical', 'plate', 'amplitudeIpsPerUnit', 0.1);
		const less = withoutNamed(known, 'stations', 'vertical');
		expect(ids('channels')(less)).toEqual(['80-kt/lateral']);
		expect(listAt(less, ['coefficients'])).toEqual([]);
	});
});

describe('withKind(rotor, words, places)', () => {
	it('stands at each blade, or at points of which some are at a blade', () => {
		const plates = withKind(rotor, 'Plate', 'blades');
		expect(kindsOf(plates)).toEqual(['plate']);
		expect(listAt(plates, ['adjusters']).map((one) => valueAt(one, ['blade']))).toEqual(['A', 'B', 'C']);
		const points = withKind(rotor, 'washer', 6);
		expect(listAt(points, ['adjusters']).map((one) => valueAt(one, ['blade']))).toEqual([
			'A',
			null,
			'B',
			null,
			'C',
			null,
		]);
		expect(adjustersOf(points, 'washer')).toHaveLength(6);
		expect(listAt(withoutKind(points, 'washer'), ['adjusters'])).toEqual([]);
	});
});

describe('withCoefficient(rotor, channel, kind, field, value)', () => {
	it('makes the row with the first number and takes it away with the last', () => {
		const one = withCoefficient(rotor, '80-kt/lateral', 'tab', 'phaseDeg', 30);
		expect(listAt(one, ['coefficients'])).toEqual([{ channel: '80-kt/lateral', kind: 'tab', phaseDeg: 30 }]);
		expect(listAt(withCoefficient(one, '80-kt/lateral', 'tab', 'phaseDeg', undefined), ['coefficients'])).toEqual([]);
	});
});

describe('withSpared(type, kind, id, isOn, reference)', () => {
	it('says a dependency with the first result spared and no longer with the last', () => {
		const on = withSpared({ dependencies: [] }, 'washer', 'main', true, 'Manual 4-1');
		expect(listAt(on, ['dependencies'])).toEqual([{ change: 'washer', unaffected: ['main'], reference: 'Manual 4-1' }]);
		expect(listAt(withSpared(on, 'washer', 'main', false, 'Manual 4-1'), ['dependencies'])).toEqual([]);
	});
});

describe('withReadings(step, regime, taken)', () => {
	it('asks for every place of the regime once', () => {
		const regime = { rotor, id: '80-kt', words: '80 kt' };
		const step = withReadings({ fields: [] }, regime, []);
		expect(ids('fields')(step)).toEqual(['main-rotor:80-kt/lateral']);
		expect(ids('fields')(withReadings(step, regime, ['main-rotor:80-kt/lateral']))).toHaveLength(1);
	});
});

describe('moved(list, at, by)', () => {
	it('swaps with its neighbour and stays at the ends', () => {
		expect(moved(['a', 'b'], 0, 1)).toEqual(['b', 'a']);
		expect(moved(['a', 'b'], 0, -1)).toEqual(['a', 'b']);
	});
});

describe('a chart as a table', () => {
	const empty = withFamilies(newChart('Power limit', []), true);
	const sized = withAxisValues(withAxisValues(empty, 1, '0 10 20'), 0, '0 4000');

	it('grows with its axes and keeps what was typed', () => {
		const filled = withValue(sized, ['values', 1, 2], 88);
		const wider = withAxisValues(filled, 1, '0 10 20 30');
		expect(valueAt(wider, ['values', 1, 2])).toBe(88);
		expect(listAt(wider, ['values', 1])).toHaveLength(4);
		expect(axisText(wider, 1)).toBe('0 10 20 30');
		expect(isTable(wider)).toBe(true);
	});

	it('keeps what is no number as it was typed', () => {
		expect(listAt(withAxisValues(empty, 1, '0 x'), ['axes', 1, 'values'])).toEqual([0, 'x']);
	});

	it('is drawn only when whole: one curve for each family through every number', () => {
		expect(chartPreview(sized)).toEqual([]);
		const whole = [90, 88, 85, 86, 84, 80].reduce(
			(chart, value, at) => withValue(chart, ['values', Math.floor(at / 3), at % 3], value),
			sized as unknown,
		);
		const [sheet] = chartPreview(whole);
		expect(sheet?.family.map(({ label }) => label)).toEqual(['0', '4000']);
		expect(sheet?.family[0]?.points.filter(({ x }) => x % 10 === 0).map(({ y }) => y)).toEqual([90, 88, 85]);
		expect(sheet?.y.low).toBeLessThanOrEqual(80);
		expect(sheet?.y.high).toBeGreaterThanOrEqual(90);
	});
});

describe('readNumber(text, mark)', () => {
	it.each([
		['0,14', 0.14],
		['0.14', 0.14],
		['\u22120.5', -0.5],
		['+2', 2],
		[' 7 ', 7],
		['.5', 0.5],
		['12,', 12],
	])('reads %s as %d', (text, value) => {
		expect(readNumber(text)).toBe(value);
	});

	it.each(['', 'x', '1 000', '1.2.3', '1e3', '--1', '0x10'])('takes %j for no number', (text) => {
		expect(readNumber(text)).toBeNull();
	});

	it('refuses what may be thousands, by the mark of this device', () => {
		expect(readNumber('1,500')).toBeNull();
		expect(readNumber('1,500', ',')).toBe(1.5);
		expect(readNumber('1.500', ',')).toBeNull();
		expect(readNumber('0,500')).toBe(0.5);
		expect(readNumber('1500')).toBe(1500);
	});
});

describe('exactText(value, mark)', () => {
	it('writes every figure, with a true minus', () => {
		expect(exactText(-0.125)).toBe('\u22120.125');
		expect(exactText(0.3, ',')).toBe('0,3');
	});
});
