import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { across, along, at, type Place, plus, type TurningSense, towards } from './polar.js';
import type { RotorBlade, TriedSetting } from './rotor-sheet.js';

/** Half the side of the square sheet, in sheet units. */
export const sheetHalf = 200;
const hubEdge = 9;
const bladeTip = 150;
const plateFrom = 154;
const plateTo = 167;
const plateGap = 5.5;
const letterRadius = 182;
const lineHeight = 17;
const settingSize = 14;
const pictureRoom = 21;
const edgeGap = 6;

export type PlateForm = 'on-aircraft' | 'added' | 'taken-off';

export interface PlateBar {
	readonly from: Place;
	readonly to: Place;
	readonly form: PlateForm;
}

/** A drawn setting beside a blade's letter: its little picture and its number. */
export interface TipLine {
	readonly kind: 'tab' | 'link';
	readonly text: string;
	readonly place: Place;
	/** Path of the picture, origin at its own place, and of the thing it is drawn on. */
	readonly picture: string;
	readonly outline: string;
	readonly picturePlace: Place;
	readonly isTried: boolean;
}

export interface BladeTip {
	readonly id: string;
	readonly letter: string;
	readonly spokeFrom: Place;
	readonly spokeTo: Place;
	/** Chord at the blade's tip, so that a spoke reads as a blade. */
	readonly chord: string;
	readonly letterPlace: Place;
	/** Middle of the place to touch, percent of the sheet. */
	readonly touchAcrossPct: number;
	readonly touchDownPct: number;
	readonly plates: readonly PlateBar[];
	readonly lines: readonly TipLine[];
	/** Everything the blade carries, in words. */
	readonly words: string;
}

/** Spoke, plates, tab, link and letter of each blade. */
export function bladeTips(blades: readonly RotorBlade[], turns: TurningSense): readonly BladeTip[] {
	return blades.map((blade) => {
		const out = towards(blade.passAngleDeg, turns);
		const letterPlace = along(out, letterRadius);
		return {
			id: blade.id,
			letter: blade.letter,
			spokeFrom: along(out, hubEdge),
			spokeTo: along(out, bladeTip),
			chord: bladeOutline(out),
			letterPlace,
			touchAcrossPct: sheetPct(out.x),
			touchDownPct: sheetPct(out.y),
			plates: blade.plates === null ? [] : plateBars(blade.plates, out),
			lines: tipLines(blade, letterPlace),
			words: bladeWords(blade),
		};
	});
}

/** "Blade A, red sleeve: 2 plates, tab +0.5°". */
export function bladeWords(blade: RotorBlade): string {
	const name =
		blade.name === null
			? fill(english.rotor.blade, { letter: blade.letter })
			: fill(english.rotor.bladeNamed, { letter: blade.letter, name: blade.name });
	return `${name}: ${settingWords(blade).join(', ')}`;
}

/** Each setting of a blade in words, as tried. */
export function settingWords(blade: RotorBlade): readonly string[] {
	return [
		...(blade.plates === null ? [] : [plateWords(blade.plates.tried)]),
		...(blade.tabDeg === null ? [] : [fill(english.rotor.tab, { degrees: degreeText(blade.tabDeg.tried) })]),
		...(blade.linkFlats === null ? [] : [fill(english.rotor.link, { flats: signedText(blade.linkFlats.tried) })]),
	];
}

function plateWords(count: number): string {
	if (count === 0) return english.rotor.noPlates;
	return count === 1 ? english.rotor.plate : fill(english.rotor.plates, { count: numberText(count, { digits: 0 }) });
}

function sheetPct(direction: number): number {
	return 50 + (direction * ((bladeTip + letterRadius) / 2) * 50) / sheetHalf;
}

/** Outline of a thin blade around its spoke, from root to tip. */
function bladeOutline(out: Place): string {
	const side = across(out);
	const corner = (length: number, half: number) => at(plus(along(out, length), along(side, half)));
	return `M${corner(26, -1.2)} L${corner(40, -3)} L${corner(bladeTip, -3)} L${corner(bladeTip, 3)} L${corner(40, 3)} L${corner(26, 1.2)} Z`;
}

function plateBars(plates: TriedSetting, out: Place): readonly PlateBar[] {
	const shown = Math.max(plates.onAircraft, plates.tried);
	const kept = Math.min(plates.onAircraft, plates.tried);
	const side = across(out);
	return Array.from({ length: shown }, (_, index) => {
		const offset = along(side, (index - (shown - 1) / 2) * plateGap);
		const changed: PlateForm = plates.tried > plates.onAircraft ? 'added' : 'taken-off';
		return {
			from: plus(along(out, plateFrom), offset),
			to: plus(along(out, plateTo), offset),
			form: index < kept ? 'on-aircraft' : changed,
		};
	});
}

function tipLines(blade: RotorBlade, letter: Place): readonly TipLine[] {
	const isBeside = Math.abs(letter.x) < 40;
	const drawn = [
		...(blade.tabDeg === null ? [] : [tabLine(blade.tabDeg)]),
		...(blade.linkFlats === null ? [] : [linkLine(blade.linkFlats)]),
	];
	const width = Math.max(0, ...drawn.map((line) => pictureRoom + textWidth(line.text)));
	const inside = sheetHalf - edgeGap;
	const side = letter.x > 0 ? Math.min(letter.x - 10, inside - width) : Math.max(letter.x + 10 - width, -inside);
	const left = isBeside ? 16 : side;
	return drawn.map((line, index) => {
		const baseline = (isBeside ? letter.y - 4 : letter.y + 29) + index * lineHeight;
		return {
			...line,
			place: { x: left + pictureRoom, y: baseline },
			picturePlace: { x: left, y: baseline - 5 },
		};
	});
}

type DrawnLine = Omit<TipLine, 'place' | 'picturePlace'>;

function tabLine(setting: TriedSetting): DrawnLine {
	return {
		kind: 'tab',
		text: degreeText(setting.tried),
		picture: tabPicture(setting.tried),
		outline: '',
		isTried: setting.tried !== setting.onAircraft,
	};
}

function linkLine(setting: TriedSetting): DrawnLine {
	return {
		kind: 'link',
		text: signedText(setting.tried),
		picture: flatsPath(setting.tried),
		outline: flatsPath(6),
		isTried: setting.tried !== setting.onAircraft,
	};
}

/** Width of figures and signs at the setting's size: figures and signs 0.65 em, point 0.3 em, degree 0.45 em. */
function textWidth(text: string): number {
	return [...text].reduce((sum, sign) => sum + settingSize * (sign === '.' ? 0.3 : sign === '\u00b0' ? 0.45 : 0.65), 0);
}

/** A trailing edge seen from its end: flat, then bent by a readable exaggeration of the angle. */
function tabPicture(degrees: number): string {
	const bend = Math.min(60, Math.abs(degrees) * 14) * Math.sign(degrees);
	const angle = (bend * Math.PI) / 180;
	return `M0 0 H9 L${at({ x: 9 + 8 * Math.cos(angle), y: -8 * Math.sin(angle) })}`;
}

/** A nut seen along its link, as many flats drawn as it was turned, at most all six. */
function flatsPath(flats: number): string {
	const corner = (index: number) => {
		const angle = ((index * 60 - 90) * Math.PI) / 180;
		return { x: 8 + 7 * Math.cos(angle), y: 7 * Math.sin(angle) };
	};
	const turned = Math.min(6, Math.abs(Math.round(flats)));
	const way = flats < 0 ? -1 : 1;
	return Array.from(
		{ length: turned },
		(_, index) => `M${at(corner(way * index))} L${at(corner(way * (index + 1)))}`,
	).join(' ');
}

function degreeText(degrees: number): string {
	return `${numberText(degrees, { digits: 1, signed: true })}\u00b0`;
}

function signedText(count: number): string {
	return numberText(count, { digits: 0, signed: true });
}
