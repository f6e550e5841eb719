import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { across, along, at, type Place, plus, type TurningSense, towards } from './polar.js';
import { plotRadius, type RulerTick, rulerTicks } from './rotor-scale.js';
import type { RotorReading, RotorSheet } from './rotor-sheet.js';
import { type BladeTip, bladeTips, sheetHalf } from './rotor-tips.view.js';
import { coversMiddle, scatterEllipse } from './scatter.js';

/** A reading on the sheet: its cross, and its ellipse as an SVG ellipse turned by `turnDeg`. */
export interface ReadingMark {
	readonly id: string;
	readonly label: string;
	readonly place: Place;
	readonly longRadius: number;
	readonly shortRadius: number;
	readonly turnDeg: number;
	readonly isPastWall: boolean;
}

export interface BarbMark {
	readonly bladeId: string;
	readonly letter: string;
	readonly path: string;
	readonly letterPlace: Place;
	readonly basis: 'learned' | 'table';
}

export interface RotorDrawing {
	readonly tips: readonly BladeTip[];
	readonly wallRadius: number;
	/** Short slanted lines outside the wall. */
	readonly wallStrokes: string;
	/** Everything past the wall, for clipping with the even-odd rule. */
	readonly beyondWall: string;
	readonly goalRadius: number | null;
	readonly newest: ReadingMark | null;
	readonly older: readonly ReadingMark[];
	readonly wakes: readonly string[];
	readonly predicted: ReadingMark | null;
	readonly barbs: readonly BarbMark[];
	/** Amplitudes without a phase, as places along the ruler. */
	readonly rulerMarks: readonly number[];
	readonly ticks: readonly RulerTick[];
	/** Arrow for the turning sense, in the sheet's upper left corner. */
	readonly turnArrow: string;
	readonly captions: readonly string[];
}

const strokeSpacing = 7.5;
const strokeLength = 8;
const wakeWidest = 6;
const barbHook = 5;

/** Everything the rotor picture draws for one sheet at a full scale. */
export function rotorDrawing(sheet: RotorSheet, fullScale: number): RotorDrawing {
	const unitsPer = plotRadius / fullScale;
	const wallRadius = sheet.limit * unitsPer;
	const mark = (reading: RotorReading) => readingMark(reading, sheet.turns, unitsPer, wallRadius);
	const placed = sheet.readings.filter((reading) => reading.phaseDeg !== null).map(mark);
	const newest = placed.at(-1) ?? null;
	const chain = placed.map((one) => one.place);
	return {
		tips: bladeTips(sheet.blades, sheet.turns),
		wallRadius,
		wallStrokes: ringStrokes(wallRadius),
		beyondWall: beyond(wallRadius),
		goalRadius: sheet.goal === null ? null : sheet.goal * unitsPer,
		newest,
		older: placed.slice(0, -1),
		wakes: chain.slice(1).map((end, index) => wake(chain[index] ?? end, end, index, chain.length - 1)),
		predicted: sheet.predicted === null || sheet.predicted.phaseDeg === null ? null : mark(sheet.predicted),
		barbs: newest === null ? [] : barbMarks(sheet, newest, unitsPer),
		rulerMarks: sheet.readings
			.filter((reading) => reading.phaseDeg === null)
			.map((reading) => reading.amplitude * unitsPer),
		ticks: rulerTicks(fullScale),
		turnArrow: turnArrow(sheet.turns),
		captions: captionsOf(sheet),
	};
}

/** True when the newest reading's phase is lost in its own scatter. */
export function isPhaseUnsure(sheet: RotorSheet): boolean {
	const newest = sheet.readings.at(-1);
	if (newest === undefined || newest.phaseDeg === null) return false;
	return coversMiddle(newest.amplitude, newest.phaseDeg, newest.covariance);
}

/** "0.24 ips, phase 118°" or "0.02 ips, phase not sure". */
export function readingWords(sheet: RotorSheet, reading: RotorReading): string {
	const amplitude = `${numberText(reading.amplitude, { digits: sheet.digits })} ${sheet.unit}`;
	if (reading.phaseDeg === null) return amplitude;
	if (coversMiddle(reading.amplitude, reading.phaseDeg, reading.covariance)) {
		return `${amplitude}, ${english.rotor.phaseUnsure}`;
	}
	const degrees = `${numberText(Math.round(reading.phaseDeg) % 360, { digits: 0 })}\u00b0`;
	return `${amplitude}, ${fill(english.rotor.phase, { degrees })}`;
}

function readingMark(reading: RotorReading, turns: TurningSense, unitsPer: number, wallRadius: number): ReadingMark {
	const place = along(towards(reading.phaseDeg ?? 0, turns), reading.amplitude * unitsPer);
	const ellipse = scatterEllipse(reading.covariance);
	const longWay = towards(ellipse.longAngleDeg, turns);
	return {
		id: reading.id,
		label: reading.label,
		place,
		longRadius: ellipse.long * unitsPer,
		shortRadius: ellipse.short * unitsPer,
		turnDeg: (Math.atan2(longWay.y, longWay.x) * 180) / Math.PI,
		isPastWall: Math.hypot(place.x, place.y) + ellipse.long * unitsPer > wallRadius,
	};
}

function ringStrokes(radius: number): string {
	const count = Math.max(12, Math.round((2 * Math.PI * radius) / strokeSpacing));
	return Array.from({ length: count }, (_, index) => {
		const out = towards((360 * index) / count, 'anticlockwise');
		const foot = along(out, radius);
		const lean = along(plus(out, across(out)), strokeLength / Math.SQRT2);
		return `M${at(foot)} L${at(plus(foot, lean))}`;
	}).join(' ');
}

function beyond(radius: number): string {
	const half = sheetHalf;
	return `M${-half} ${-half} H${half} V${half} H${-half} Z M${radius} 0 A${radius} ${radius} 0 1 0 ${-radius} 0 A${radius} ${radius} 0 1 0 ${radius} 0 Z`;
}

/** The way from an older reading to a newer one; the whole chain narrows towards the newest. */
function wake(from: Place, to: Place, index: number, links: number): string {
	const length = Math.hypot(to.x - from.x, to.y - from.y);
	if (length === 0) return '';
	const side = across({ x: (to.x - from.x) / length, y: (to.y - from.y) / length });
	const half = (step: number) => (wakeWidest / 2) * (1 - step / links) + 0.6;
	const edge = (place: Place, width: number) => at(plus(place, along(side, width)));
	return `M${edge(from, half(index))} L${edge(to, half(index + 1))} L${edge(to, -half(index + 1))} L${edge(from, -half(index))} Z`;
}

function barbMarks(sheet: RotorSheet, newest: ReadingMark, unitsPer: number): readonly BarbMark[] {
	return sheet.barbs.map((barb) => {
		const way = towards(barb.phaseDeg, sheet.turns);
		// Barbs stand on the ellipse's edge, at their true length, so that neither hides the other.
		const foot = plus(newest.place, along(way, edgeTowards(newest, way)));
		const end = plus(foot, along(way, barb.amplitude * unitsPer));
		const back = plus(end, along(way, -barbHook));
		const side = along(across(way), barbHook * 0.7);
		return {
			bladeId: barb.bladeId,
			letter: sheet.blades.find((blade) => blade.id === barb.bladeId)?.letter ?? barb.bladeId,
			path: `M${at(foot)} L${at(end)} M${at(plus(back, side))} L${at(end)} L${at(plus(back, along(side, -1)))}`,
			letterPlace: plus(end, along(way, 9)),
			basis: barb.basis,
		};
	});
}

/** How far the ellipse reaches from its cross in a direction. */
function edgeTowards(mark: ReadingMark, way: Place): number {
	const turn = (mark.turnDeg * Math.PI) / 180;
	const alongLong = way.x * Math.cos(turn) + way.y * Math.sin(turn);
	const alongShort = way.y * Math.cos(turn) - way.x * Math.sin(turn);
	if (mark.longRadius === 0 || mark.shortRadius === 0) return 0;
	return 1 / Math.hypot(alongLong / mark.longRadius, alongShort / mark.shortRadius);
}

/** An arrow: the way the blades go when they pass the top of the sheet. */
function turnArrow(turns: TurningSense): string {
	const way = turns === 'anticlockwise' ? -1 : 1;
	const tip = way * 24;
	return `M${-tip} 0 H${tip} M${tip - way * 8} -5 L${tip} 0 L${tip - way * 8} 5`;
}

function captionsOf(sheet: RotorSheet): readonly string[] {
	const bases = new Set(sheet.barbs.map((barb) => barb.basis));
	return [
		...(isPhaseUnsure(sheet) ? [english.rotor.phaseNotSure] : []),
		english.rotor.notTheSpot,
		...(sheet.predicted === null ? [] : [english.rotor.dashed]),
		...(bases.has('learned') ? [english.rotor.learned] : []),
		...(bases.has('table') ? [english.rotor.fromTable] : []),
	];
}
