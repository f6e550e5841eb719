import { idFrom, listAt, type Tree, textAt, valueAt, withValue } from './tree.js';

/** What follows from what on the rotor page: readings from regimes and places, settings from kinds and blades. */

const bladeLetters = 'ABCDEFGHI';

export function newRotor(name: string, taken: readonly string[]): Tree {
	return {
		id: idFrom(name, taken),
		name,
		referenceBlade: 'A',
		blades: [],
		regimes: {},
		stations: {},
		meanChangeLimit: {},
		channels: [],
		adjusters: [],
		coefficients: [],
		noise: {},
	};
}

/** Blades evenly around; what can be changed at each blade follows. */
export function withBlades(rotor: Tree, count: number): Tree {
	const blades = Array.from({ length: count }, (_, at) => {
		const id = bladeLetters[at] ?? String(at + 1);
		const paint = textAt(
			listAt(rotor, ['blades']).find((blade) => textAt(blade, ['id']) === id),
			['paint'],
		);
		return { id, passAngleDeg: (360 * at) / count, ...(paint === '' ? {} : { paint }) };
	});
	const next = withValue(rotor, ['blades'], blades);
	return kindsOf(rotor).reduce<Tree>(
		(shaped, kind) => (isAtPoints(rotor, kind) ? shaped : withPlaces(shaped, kind, 'blades')),
		next,
	);
}

/** A regime or a place of measurement; the readings are every pair of the two. */
export function withNamed(rotor: Tree, what: 'regimes' | 'stations', words: string): Tree {
	const id = idFrom(words, Object.keys(namesOf(rotor, what)));
	return withChannels(withValue(rotor, [what, id], words));
}

export function withoutNamed(rotor: Tree, what: 'regimes' | 'stations', id: string): Tree {
	return withChannels(withValue(rotor, [what, id], undefined));
}

export function namesOf(rotor: Tree, what: 'regimes' | 'stations'): Readonly<Record<string, string>> {
	const found = valueAt(rotor, [what]);
	return found !== null && typeof found === 'object' ? (found as Record<string, string>) : {};
}

export function kindsOf(rotor: Tree): readonly string[] {
	return [...new Set(listAt(rotor, ['adjusters']).map((one) => textAt(one, ['kind'])))];
}

/** Something that can be changed, at each blade or at evenly spaced points around the hub. */
export function withKind(rotor: Tree, words: string, places: 'blades' | number): Tree {
	const kind = idFrom(words, kindsOf(rotor));
	return withPlaces(
		withValue(rotor, ['adjusters', listAt(rotor, ['adjusters']).length], { kind, unit: words }),
		kind,
		places,
	);
}

export function withoutKind(rotor: Tree, kind: string): Tree {
	const of = (list: 'adjusters' | 'coefficients') =>
		listAt(rotor, [list]).filter((one) => textAt(one, ['kind']) !== kind);
	const less = withValue(withValue(rotor, ['adjusters'], of('adjusters')), ['coefficients'], of('coefficients'));
	return withValue(less, ['meanChangeLimit', kind], undefined);
}

/** Indexes of the settings of one kind: what is typed of a kind is written to all of them. */
export function adjustersOf(rotor: Tree, kind: string): readonly number[] {
	return listAt(rotor, ['adjusters']).flatMap((one, at) => (textAt(one, ['kind']) === kind ? [at] : []));
}

/** What one unit of a kind does to a reading; the row goes when neither amplitude nor phase is left. */
export function withCoefficient(
	rotor: Tree,
	channel: string,
	kind: string,
	field: 'amplitudeIpsPerUnit' | 'phaseDeg',
	value: unknown,
): Tree {
	const rows = listAt(rotor, ['coefficients']);
	const at = coefficientAt(rotor, channel, kind);
	const sdRelative = valueAt(
		rows.find((row) => textAt(row, ['kind']) === kind),
		['sdRelative'],
	);
	const row = at < 0 ? { channel, kind, ...(sdRelative === undefined ? {} : { sdRelative }) } : rows[at];
	const next = withValue(row, [field], value);
	const isGone = ['amplitudeIpsPerUnit', 'phaseDeg'].every((name) => valueAt(next, [name]) === undefined);
	if (isGone) return at < 0 ? rotor : withValue(rotor, ['coefficients', at], undefined);
	return withValue(rotor, ['coefficients', at < 0 ? rows.length : at], next);
}

export function coefficientAt(rotor: Tree, channel: string, kind: string): number {
	return listAt(rotor, ['coefficients']).findIndex(
		(row) => textAt(row, ['channel']) === channel && textAt(row, ['kind']) === kind,
	);
}

function withChannels(rotor: Tree): Tree {
	const old = listAt(rotor, ['channels']);
	const channels = Object.keys(namesOf(rotor, 'regimes')).flatMap((regime) =>
		Object.keys(namesOf(rotor, 'stations')).map((station) => {
			const id = `${regime}/${station}`;
			return old.find((one) => textAt(one, ['id']) === id) ?? { id, regime, station, weight: 1 };
		}),
	);
	const known = channels.map((one) => textAt(one, ['id']));
	const coefficients = listAt(rotor, ['coefficients']).filter((row) => known.includes(textAt(row, ['channel'])));
	return withValue(withValue(rotor, ['channels'], channels), ['coefficients'], coefficients);
}

function isAtPoints(rotor: Tree, kind: string): boolean {
	return listAt(rotor, ['adjusters']).some(
		(one) => textAt(one, ['kind']) === kind && /-\d+$/.test(textAt(one, ['id'])),
	);
}

/** The settings of a kind put to their places; what was typed of the kind stays. */
function withPlaces(rotor: Tree, kind: string, places: 'blades' | number): Tree {
	const all = listAt(rotor, ['adjusters']);
	const first = all.findIndex((one) => textAt(one, ['kind']) === kind);
	const {
		id: _id,
		blade: _blade,
		passAngleDeg: _angle,
		...typed
	} = (all[first] ?? { kind }) as Record<string, unknown>;
	const made = spots(rotor, places).map(({ name, blade, passAngleDeg }) => ({
		effort: 1,
		...typed,
		id: `${kind}-${name}`,
		kind,
		blade,
		passAngleDeg,
	}));
	const before = all.slice(0, first).filter((one) => textAt(one, ['kind']) !== kind);
	const after = all.slice(first).filter((one) => textAt(one, ['kind']) !== kind);
	return withValue(rotor, ['adjusters'], [...before, ...made, ...after]);
}

interface Spot {
	readonly name: string;
	readonly blade: string | null;
	readonly passAngleDeg: number;
}

function spots(rotor: Tree, places: 'blades' | number): readonly Spot[] {
	const blades = listAt(rotor, ['blades']).map((blade) => ({
		id: textAt(blade, ['id']),
		passAngleDeg: Number(valueAt(blade, ['passAngleDeg'])),
	}));
	if (places === 'blades') return blades.map(({ id, passAngleDeg }) => ({ name: id, blade: id, passAngleDeg }));
	return Array.from({ length: places }, (_, at) => {
		const passAngleDeg = (360 * at) / places;
		const blade = blades.find((one) => Math.abs(one.passAngleDeg - passAngleDeg) < 1e-9)?.id ?? null;
		return { name: String(at + 1), blade, passAngleDeg };
	});
}
