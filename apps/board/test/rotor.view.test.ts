import { describe, expect, it } from 'vitest';
import { towards } from '../src/lib/parts/rotor/polar.js';
import { isPhaseUnsure, readingWords, rotorDrawing } from '../src/lib/parts/rotor/rotor-picture.view.js';
import { plotRadius, rulerTicks, sharedFullScale } from '../src/lib/parts/rotor/rotor-scale.js';
import type { RotorBlade, RotorReading, RotorSheet } from '../src/lib/parts/rotor/rotor-sheet.js';
import { bladeTips, bladeWords } from '../src/lib/parts/rotor/rotor-tips.view.js';
import { chiSquare95, coversMiddle, scatterEllipse } from '../src/lib/parts/rotor/scatter.js';

const still = { xx: 0.0001, xy: 0, yy: 0.0001 };
const blade = (letter: string, passAngleDeg: number): RotorBlade => ({
	id: letter,
	letter,
	name: null,
	passAngleDeg,
	plates: { onAircraft: 2, tried: 2 },
	tabDeg: null,
	linkFlats: null,
});
const reading = (id: string, amplitude: number, phaseDeg: number | null): RotorReading => ({
	id,
	label: id,
	amplitude,
	phaseDeg,
	covariance: still,
});
const sheet = (change: Partial<RotorSheet>): RotorSheet => ({
	id: 'hover',
	title: 'hover lateral',
	unit: 'ips',
	digits: 2,
	turns: 'anticlockwise',
	seen: 'from-above',
	blades: [blade('A', 0), blade('B', 120), blade('C', 240)],
	limit: 0.2,
	goal: 0.1,
	readings: [reading('r1', 0.2, 0)],
	predicted: null,
	barbs: [],
	...change,
});
// Sheet units: 400 across a sheet of about 500 px; a millionth is far below a pixel.
const digits = 6;

describe('towards(angleDeg, turns)', () => {
	it('points up for the reference blade, either way round', () => {
		for (const turns of ['anticlockwise', 'clockwise'] as const) {
			expect(towards(0, turns).x).toBeCloseTo(0, digits);
			expect(towards(0, turns).y).toBeCloseTo(-1, digits);
		}
	});

	it('puts the blade that follows on the right when the rotor turns anticlockwise, on the left when clockwise', () => {
		expect(towards(90, 'anticlockwise').x).toBeCloseTo(1, digits);
		expect(towards(90, 'clockwise').x).toBeCloseTo(-1, digits);
	});
});

describe('scatterEllipse(covariance)', () => {
	it('has the 95 % point of chi-square with two degrees of freedom, 5.9915 (published tables)', () => {
		expect(chiSquare95).toBeCloseTo(5.9915, 4);
	});

	it('gives equal half axes for equal scatter', () => {
		const ellipse = scatterEllipse({ xx: 0.04, xy: 0, yy: 0.04 });
		expect(ellipse.long).toBeCloseTo(0.2 * Math.sqrt(chiSquare95), digits);
		expect(ellipse.short).toBeCloseTo(ellipse.long, digits);
	});

	it('turns with the covariance: a long axis at 30 degrees comes back', () => {
		const angle = Math.PI / 6;
		const [long, short] = [9, 1];
		const covariance = {
			xx: long * Math.cos(angle) ** 2 + short * Math.sin(angle) ** 2,
			xy: (long - short) * Math.sin(angle) * Math.cos(angle),
			yy: long * Math.sin(angle) ** 2 + short * Math.cos(angle) ** 2,
		};
		const ellipse = scatterEllipse(covariance);
		expect(ellipse.longAngleDeg).toBeCloseTo(30, digits);
		expect(ellipse.long / ellipse.short).toBeCloseTo(3, digits);
	});
});

describe('coversMiddle(amplitude, phaseDeg, covariance)', () => {
	it('is true below the scatter and false above it', () => {
		const radius = 0.01 * Math.sqrt(chiSquare95);
		expect(coversMiddle(radius * 0.99, 77, still)).toBe(true);
		expect(coversMiddle(radius * 1.01, 77, still)).toBe(false);
	});

	it('handles a reading without scatter', () => {
		const none = { xx: 0, xy: 0, yy: 0 };
		expect(coversMiddle(0.1, 10, none)).toBe(false);
		expect(coversMiddle(0, 10, none)).toBe(true);
	});
});

describe('rotorDrawing(sheet, fullScale)', () => {
	it('puts a reading on the wall when it equals the limit, in the direction of its phase', () => {
		const drawing = rotorDrawing(sheet({ readings: [reading('r1', 0.2, 120)] }), 0.4);
		const place = drawing.newest!.place;
		expect(Math.hypot(place.x, place.y)).toBeCloseTo(drawing.wallRadius, digits);
		const spoke = drawing.tips[1]!.spokeTo;
		expect(place.x * spoke.y - place.y * spoke.x).toBeCloseTo(0, digits);
		expect(drawing.newest!.isPastWall).toBe(true);
	});

	it('moves a reading the same way round as a plate moved to the next blade', () => {
		for (const turns of ['anticlockwise', 'clockwise'] as const) {
			const drawing = rotorDrawing(sheet({ turns, readings: [reading('r1', 0.1, 240)] }), 0.4);
			const spoke = drawing.tips[2]!.spokeTo;
			const place = drawing.newest!.place;
			expect(Math.atan2(place.y, place.x)).toBeCloseTo(Math.atan2(spoke.y, spoke.x), digits);
		}
	});

	it('turns the ellipse with the sheet, so a clockwise rotor shows its mirror image', () => {
		const skewed = { ...reading('r1', 0.1, 0), covariance: { xx: 0.0004, xy: 0.0001, yy: 0.0001 } };
		const one = rotorDrawing(sheet({ readings: [skewed] }), 0.4).newest!.turnDeg;
		const other = rotorDrawing(sheet({ turns: 'clockwise', readings: [skewed] }), 0.4).newest!.turnDeg;
		expect(Math.sin(((one + other) * Math.PI) / 180)).toBeCloseTo(0, digits);
	});

	it('keeps older readings apart and joins each to the next by one wake', () => {
		const drawing = rotorDrawing(
			sheet({ readings: [reading('r1', 0.3, 0), reading('r2', 0.2, 90), reading('r3', 0.1, 200)] }),
			0.4,
		);
		expect(drawing.older.map((mark) => mark.id)).toEqual(['r1', 'r2']);
		expect(drawing.newest!.id).toBe('r3');
		expect(drawing.wakes).toHaveLength(2);
	});

	it('shows an amplitude without a phase on the ruler, never as a cross', () => {
		const drawing = rotorDrawing(sheet({ readings: [reading('r1', 0.2, null)] }), 0.4);
		expect(drawing.newest).toBeNull();
		expect(drawing.rulerMarks[0]).toBeCloseTo(plotRadius / 2, digits);
	});

	it('stands each barb on the edge of the newest ellipse at its true length, and says how it is known', () => {
		const drawing = rotorDrawing(
			sheet({ barbs: [{ bladeId: 'B', amplitude: 0.06, phaseDeg: 155, basis: 'table' }] }),
			0.4,
		);
		const [footX, footY, endX, endY] = [...drawing.barbs[0]!.path.matchAll(/-?[\d.]+/g)].slice(0, 4).map(Number) as [
			number,
			number,
			number,
			number,
		];
		const newest = drawing.newest!;
		// Paths are written to a hundredth of a unit.
		expect(Math.hypot(footX - newest.place.x, footY - newest.place.y)).toBeCloseTo(newest.longRadius, 1);
		expect(Math.hypot(endX - footX, endY - footY)).toBeCloseTo((0.06 * plotRadius) / 0.4, 1);
		expect(drawing.barbs[0]!.letter).toBe('B');
		expect(drawing.captions.join(' ')).toContain('type table');
	});

	it('always says that the cross is not the heavy spot', () => {
		expect(rotorDrawing(sheet({}), 0.4).captions).toContain('The cross is the reading, not the heavy spot.');
	});
});

describe('isPhaseUnsure(sheet) and readingWords(sheet, reading)', () => {
	it('says "phase not sure" when the ellipse covers the middle', () => {
		const lost = sheet({ readings: [reading('r1', 0.02, 40)] });
		expect(isPhaseUnsure(lost)).toBe(true);
		expect(readingWords(lost, lost.readings[0]!)).toBe('0.02 ips, phase not sure');
	});

	it('writes a sure phase in degrees, 360 as 0', () => {
		const sure = sheet({});
		expect(readingWords(sure, reading('r1', 0.24, 359.7))).toBe('0.24 ips, phase 0\u00b0');
	});
});

describe('sharedFullScale(sheets) and rulerTicks(fullScale)', () => {
	it('holds the limit and every reading of all sheets', () => {
		const scale = sharedFullScale([sheet({}), sheet({ readings: [reading('r1', 0.62, 10)] })]);
		expect(scale).toBeGreaterThanOrEqual(0.62);
		expect(scale).toBeCloseTo(0.8, digits);
	});

	it('measures the drawing: the last tick stands at the full scale', () => {
		const ticks = rulerTicks(0.4);
		expect(ticks.map((tick) => tick.amplitude.toFixed(1))).toEqual(['0.0', '0.1', '0.2', '0.3', '0.4']);
		expect(ticks.at(-1)!.along).toBeCloseTo(plotRadius, digits);
	});
});

describe('bladeTips(blades, turns)', () => {
	it('draws plates that can be counted: kept, added and taken off apart', () => {
		const added = bladeTips([{ ...blade('A', 0), plates: { onAircraft: 2, tried: 4 } }], 'anticlockwise')[0]!;
		expect(added.plates.map((plate) => plate.form)).toEqual(['on-aircraft', 'on-aircraft', 'added', 'added']);
		const taken = bladeTips([{ ...blade('A', 0), plates: { onAircraft: 3, tried: 1 } }], 'anticlockwise')[0]!;
		expect(taken.plates.map((plate) => plate.form)).toEqual(['on-aircraft', 'taken-off', 'taken-off']);
	});

	it('keeps every setting inside the sheet for two to six blades', () => {
		for (let count = 2; count <= 6; count += 1) {
			const blades = Array.from({ length: count }, (_, index) => ({
				...blade('A', (360 * index) / count),
				tabDeg: { onAircraft: -2.5, tried: -2.5 },
				linkFlats: { onAircraft: -12, tried: -12 },
			}));
			for (const tip of bladeTips(blades, 'clockwise')) {
				for (const line of tip.lines) {
					expect(Math.abs(line.picturePlace.x)).toBeLessThanOrEqual(200);
					expect(Math.abs(line.place.y)).toBeLessThanOrEqual(200);
				}
			}
		}
	});

	it('says everything a blade carries in words', () => {
		expect(
			bladeWords({
				...blade('A', 0),
				name: 'red sleeve',
				plates: { onAircraft: 1, tried: 1 },
				tabDeg: { onAircraft: 0.5, tried: 0.5 },
				linkFlats: { onAircraft: -2, tried: -2 },
			}),
		).toBe('Blade A, red sleeve: 1 plate, tab +0.5\u00b0, link \u22122 flats');
	});
});
