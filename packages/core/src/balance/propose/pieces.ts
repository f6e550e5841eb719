import type { Adjuster } from '../model.js';
import { tidy } from './tidy.js';

/** How many of each piece stand at one point, by the piece's id; pieces that don't stand there are missing. */
export type FittedPieces = Readonly<Record<string, number>>;

/** Settings made of unequal pieces differ by less than this only by rounding. */
const sameSetting = 1e-6;
/** Ways to make one setting that are looked at; a box with more is not one that runs short. */
const mostWays = 500;

/** Every total the adjuster's pieces can make, each piece at most its own count here and its stock. */
export function pieceSums(adjuster: Adjuster): number[] {
	let sums = new Set([0]);
	for (const piece of adjuster.pieces ?? []) {
		const most = mostHere(piece);
		const next = new Set<number>();
		for (const sum of sums) {
			for (let n = 0; n <= most && sum + n * piece.amount <= adjuster.max + 1e-9; n++)
				next.add(tidy(sum + n * piece.amount));
		}
		sums = next;
	}
	return [...sums];
}

/** Whether some piece with a stock is named by more than one point, so that they take from the same box. */
export function sharesPieces(adjusters: readonly Adjuster[]): boolean {
	const named = adjusters.flatMap((a) => (a.pieces ?? []).filter((p) => p.stock !== undefined).map((p) => p.id));
	return new Set(named).size < named.length;
}

/** What all stocked pieces of a kind weigh together; null where some piece of it has no end, or it is not built of any. */
export function amountInStock(adjusters: readonly Adjuster[], kind: string): number | null {
	const ofKind = adjusters.filter((a) => a.kind === kind);
	if (ofKind.some((a) => a.pieces === undefined)) return null;
	const pieces = new Map(ofKind.flatMap((a) => a.pieces ?? []).map((piece) => [piece.id, piece]));
	let amount = 0;
	for (const piece of pieces.values()) {
		if (piece.stock === undefined) return null;
		amount += piece.amount * piece.stock;
	}
	return amount;
}

/**
 * Pieces for every point at these settings, taken from one stock per piece id: null for points not built of pieces, or
 * whose setting none of their pieces make (found so, and nobody knows of what). Fewest pieces first. Null altogether
 * when the stock does not suffice, whichever way the settings are built.
 * A piece's stock counts all there are of it, those on the rotor included; where points state it differently the least
 * counts.
 */
export function fitPieces(
	adjusters: readonly Adjuster[],
	settings: readonly number[],
): readonly (FittedPieces | null)[] | null {
	const left = new Map<string, number>();
	for (const { id, stock } of adjusters.flatMap((a) => a.pieces ?? [])) {
		if (stock !== undefined) left.set(id, Math.min(left.get(id) ?? stock, stock));
	}
	const choices = adjusters.map((a, j) => (a.pieces === undefined ? [] : waysToMake(a, settings[j]!)));
	const fitted: (FittedPieces | null)[] = adjusters.map(() => null);
	const fill = (j: number): boolean => {
		if (j === adjusters.length) return true;
		if (choices[j]!.length === 0) return fill(j + 1);
		for (const way of choices[j]!) {
			const taken = Object.entries(way);
			if (taken.some(([id, count]) => count > (left.get(id) ?? Number.POSITIVE_INFINITY))) continue;
			for (const [id, count] of taken) if (left.has(id)) left.set(id, left.get(id)! - count);
			fitted[j] = way;
			if (fill(j + 1)) return true;
			for (const [id, count] of taken) if (left.has(id)) left.set(id, left.get(id)! + count);
		}
		fitted[j] = null;
		return false;
	};
	return fill(0) ? fitted : null;
}

/** All ways to make one setting of the adjuster's pieces, fewest pieces first. */
function waysToMake(adjuster: Adjuster, setting: number): FittedPieces[] {
	// the heaviest first and as many as go: so the ways with few pieces come early
	const pieces = [...(adjuster.pieces ?? [])].sort((a, b) => b.amount - a.amount);
	const ways: { readonly pieces: FittedPieces; readonly count: number }[] = [];
	const add = (n: number, left: number, taken: FittedPieces, count: number): void => {
		if (ways.length >= mostWays) return;
		if (Math.abs(left) < sameSetting) ways.push({ pieces: taken, count });
		else if (n < pieces.length && left > 0) {
			const piece = pieces[n]!;
			for (let used = Math.min(mostHere(piece), Math.floor((left + sameSetting) / piece.amount)); used >= 0; used--) {
				add(n + 1, left - used * piece.amount, used === 0 ? taken : { ...taken, [piece.id]: used }, count + used);
			}
		}
	};
	add(0, setting, {}, 0);
	return ways.sort((a, b) => a.count - b.count).map((way) => way.pieces);
}

function mostHere(piece: { readonly maxHere?: number | undefined; readonly stock?: number | undefined }): number {
	return Math.min(piece.maxHere ?? Number.POSITIVE_INFINITY, piece.stock ?? Number.POSITIVE_INFINITY);
}
