import { type DecimalMark, writing } from './writing.svelte.js';

export type { DecimalMark } from './writing.svelte.js';

/** How one quantity is written. `signed` quantities show + or −, zero neither; the mark is this device's unless given. */
export interface NumberStyle {
	readonly digits: number;
	readonly signed?: boolean;
	readonly mark?: DecimalMark;
}

const trueMinus = '\u2212';
const mostDigits = 6;

/**
 * A number as it stands on the board: leading zero, true minus sign, fixed decimals.
 * @param value finite; display is the only place where rounding happens
 */
export function numberText(value: number, style: NumberStyle): string {
	if (!Number.isFinite(value)) throw new RangeError(`numberText needs a finite number, found ${value}`);
	const size = Math.abs(value).toFixed(style.digits);
	const isZero = Number(size) === 0;
	const sign = isZero ? '' : value < 0 ? trueMinus : style.signed ? '+' : '';
	return sign + ((style.mark ?? writing.mark) === ',' ? size.replace('.', ',') : size);
}

/**
 * Decimals needed so that rounding doesn't hide which side of a limit a value lies on:
 * one more than usual, or as many as it takes, up to 6.
 */
export function digitsKeepingSide(value: number, limits: readonly number[], digits: number): number {
	let needed = digits;
	while (needed < mostDigits && limits.some((limit) => hidesSide(value, limit, needed))) needed += 1;
	return needed;
}

function hidesSide(value: number, limit: number, digits: number): boolean {
	const shown = Number(value.toFixed(digits));
	return Math.sign(shown - limit) !== Math.sign(value - limit);
}

/** A number cut at its decimal mark, so that a column can align on it. */
export interface CutNumber {
	readonly whole: string;
	readonly fraction: string;
}

export function cutAtMark(text: string): CutNumber {
	const at = text.search(/[.,]/);
	return at < 0 ? { whole: text, fraction: '' } : { whole: text.slice(0, at), fraction: text.slice(at) };
}

/**
 * A chance in words a person can picture. Never 0 or 100 %.
 * @param chance 0 to 1
 */
export function chanceText(chance: number): string {
	if (chance < 0.01) return 'fewer than 1 in 100';
	if (chance > 0.99) return 'more than 99 in 100';
	const inTen = Math.round(chance * 10);
	const isRound = Math.abs(chance * 10 - inTen) < 0.05;
	return isRound && inTen > 0 && inTen < 10 ? `${inTen} in 10` : `${Math.round(chance * 100)} in 100`;
}

/**
 * A number as people type it: point or comma, true or plain minus. `null` when it is none, or when it could be meant in
 * thousands: of 1,500 nobody can tell, so it must be written without the mark.
 * @param mark the decimal mark of this device; three figures behind the other one may be thousands
 */
export function readNumber(text: string, mark: DecimalMark = writing.mark): number | null {
	const plain = text.trim().replace(trueMinus, '-');
	if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(plain)) return null;
	const other = mark === '.' ? ',' : '\\.';
	if (new RegExp(`^[+-]?[1-9]\\d{0,2}${other}\\d{3}$`).test(plain)) return null;
	const value = Number(plain.replace(',', '.'));
	return Number.isFinite(value) ? value : null;
}

/** A typed number written back with every figure it has: nothing is rounded while it is edited. */
export function exactText(value: number, mark: DecimalMark = writing.mark): string {
	const text = String(value).replace('-', trueMinus);
	return mark === ',' ? text.replace('.', ',') : text;
}
