import type { Unseen } from './model.js';

/** Gaps kept apart for one line; more are merged with their nearest. */
const mostGaps = 8;

interface Time {
	readonly fromS: number;
	toS: number;
	reach: number;
}

/** Times in which an excursion could have stayed unseen, merged: slow sampling is one entry for the whole file. */
export class UnseenTimes {
	readonly #line: string;
	#slow: Time | null = null;
	readonly #gaps: Time[] = [];
	/** All of it together, and how many excursions it could hold: between two of them lies the shortest time. */
	sumS = 0;
	mostTimes = 0;
	readonly #shortestS: number;

	constructor(line: string, shortestS: number) {
		this.#line = line;
		this.#shortestS = shortestS;
	}

	add(fromS: number, toS: number, reach: number, reason: Unseen['reason']): void {
		this.sumS += toS - fromS;
		this.mostTimes += 1 + Math.floor((toS - fromS) / this.#shortestS);
		if (reason === 'slow-sampling') {
			this.#slow = this.#slow === null ? { fromS, toS, reach } : joined(this.#slow, { fromS, toS, reach });
			return;
		}
		const last = this.#gaps.at(-1);
		if (last !== undefined && last.toS === fromS) this.#gaps.splice(-1, 1, joined(last, { fromS, toS, reach }));
		else this.#gaps.push({ fromS, toS, reach });
		if (this.#gaps.length > mostGaps) joinNearest(this.#gaps);
	}

	merged(sense: 1 | -1, resolution: number): readonly Unseen[] {
		const entry =
			(reason: Unseen['reason']) =>
			({ fromS, toS, reach }: Time): Unseen => ({
				line: this.#line,
				fromS,
				toS,
				couldReach: Number.isFinite(reach) ? sense * (reach + resolution) : null,
				reason,
			});
		return [...this.#gaps.map(entry('gap')), ...(this.#slow === null ? [] : [entry('slow-sampling')(this.#slow)])];
	}
}

function joined(first: Time, second: Time): Time {
	return { fromS: first.fromS, toS: second.toS, reach: Math.max(first.reach, second.reach) };
}

/** Entries that a file may list. */
const mostEntries = 20;

/** All lines' times, in order; when there are too many, the two of one line that lie nearest become one. @rule EXC-7 */
export function listedUnseen(all: readonly Unseen[], most: number = mostEntries): readonly Unseen[] {
	const list = [...all].sort((a, b) => a.fromS - b.fromS);
	while (list.length > most) {
		let best: readonly [number, number] | null = null;
		let least = Number.POSITIVE_INFINITY;
		list.forEach((one, first) => {
			const second = list.findIndex((other, at) => at > first && other.line === one.line);
			if (second === -1) return;
			const apartS = (list[second] as Unseen).fromS - one.toS;
			if (apartS < least) {
				least = apartS;
				best = [first, second];
			}
		});
		if (best === null) return list;
		const [first, second] = best as readonly [number, number];
		const [one, other] = [list[first] as Unseen, list[second] as Unseen];
		list.splice(second, 1);
		list[first] = merged(one, other);
	}
	return list;
}

function merged(one: Unseen, other: Unseen): Unseen {
	const further = (a: number, b: number): number => (Math.abs(a) > Math.abs(b) ? a : b);
	return {
		line: one.line,
		fromS: one.fromS,
		toS: Math.max(one.toS, other.toS),
		couldReach: one.couldReach === null || other.couldReach === null ? null : further(one.couldReach, other.couldReach),
		reason: one.reason === 'gap' || other.reason === 'gap' ? 'gap' : 'slow-sampling',
	};
}

function joinNearest(gaps: Time[]): void {
	let best = 0;
	let least = Number.POSITIVE_INFINITY;
	gaps.slice(1).forEach((gap, at) => {
		const apartS = gap.fromS - (gaps[at] as Time).toS;
		if (apartS < least) {
			least = apartS;
			best = at;
		}
	});
	gaps.splice(best, 2, joined(gaps[best] as Time, gaps[best + 1] as Time));
}
