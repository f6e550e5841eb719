import type { Adjuster } from '../model.js';
import { isMass } from '../propose/allowed.js';

/** Verbs for a change upward and downward where the type's own words don't say otherwise. */
const verbs: Readonly<Record<string, { readonly plus: string; readonly minus: string }>> = {
	tab: { plus: 'bend the trailing edge up', minus: 'bend the trailing edge down' },
	link: { plus: 'make longer by', minus: 'make shorter by' },
	sweep: { plus: 'move back by', minus: 'move forward by' },
	chordwise: { plus: 'move toward the trailing edge by', minus: 'move toward the leading edge by' },
};
const massVerbs = { plus: 'add', minus: 'take off' };
const otherVerbs = { plus: 'increase by', minus: 'decrease by' };

/**
 * A change in shop words: blade, what to do, from and to. "Blade A: add 2 plates (0 to 2)".
 * Several adjusters of one kind on a blade are told apart by their id; a point built of pieces says what then stands there.
 */
export function changeWords(
	adjuster: Adjuster,
	from: number,
	to: number,
	all: readonly Adjuster[],
	pieces: Readonly<Record<string, number>> | null = null,
): string {
	const verb = adjuster.positive ?? verbs[adjuster.kind] ?? (isMass(adjuster) ? massVerbs : otherVerbs);
	const decimals = decimalsOf(adjuster, from, to);
	const amount = amountWords(Math.abs(to - from), adjuster.unit, decimals);
	const signed = !isMass(adjuster) && (adjuster.min < 0 || from < 0 || to < 0);
	const range = `${settingWords(from, decimals, signed)} to ${settingWords(to, decimals, signed)}`;
	return `${placeWords(adjuster, all)}: ${to > from ? verb.plus : verb.minus} ${amount} (${range})${pieces === null ? '' : `, then fitted: ${pieceWords(pieces)}`}`;
}

/** "1 × 2.5 g and 2 × 1 g" by the pieces' own ids, or "nothing". */
function pieceWords(pieces: Readonly<Record<string, number>>): string {
	const parts = Object.entries(pieces).map(([id, count]) => `${count} × ${id}`);
	return parts.length === 0 ? 'nothing' : parts.join(' and ');
}

function placeWords(adjuster: Adjuster, all: readonly Adjuster[]): string {
	const blade = adjuster.blade ?? null;
	if (blade === null) {
		// a mass point is known by its number: "Point 4" for `washer-4`
		const point = /^[a-z]+-(\d+)$/.exec(adjuster.id)?.[1];
		return point === undefined ? capital(adjuster.id) : `Point ${point}`;
	}
	const alike = all.filter((a) => a.blade === blade && a.kind === adjuster.kind).length;
	const part = isMass(adjuster) ? '' : ` ${adjuster.kind}`;
	return alike > 1 ? `Blade ${blade}${part} ${adjuster.id}` : `Blade ${blade}${part}`;
}

function capital(text: string): string {
	return text.charAt(0).toUpperCase() + text.slice(1);
}

/** "2 plates", "1 plate", "1.5°", "3.4 g". */
export function amountWords(amount: number, unit: string, decimals: number): string {
	const number = amount.toFixed(decimals);
	if (unit === 'deg' || unit === '°' || unit === 'degree') return `${number}°`;
	// a word takes a plural, a symbol doesn't
	const plural = Number(number) !== 1 && unit.length > 3 && !unit.endsWith('s') ? `${unit}s` : unit;
	return `${number} ${plural}`;
}

function settingWords(value: number, decimals: number, signed: boolean): string {
	const size = Math.abs(value).toFixed(decimals);
	if (Number(size) === 0) return size;
	return `${value < 0 ? '−' : signed ? '+' : ''}${size}`;
}

/** As many decimals as the grid and both ends need, three at most. */
function decimalsOf(adjuster: Adjuster, from: number, to: number): number {
	for (let decimals = 0; decimals < 3; decimals++) {
		const scale = 10 ** decimals;
		const whole = (value: number): boolean => Math.abs(value * scale - Math.round(value * scale)) < 1e-6;
		const gridded = adjuster.values || adjuster.pieces ? true : whole(adjuster.step);
		if (gridded && whole(from) && whole(to)) return decimals;
	}
	return 3;
}
