import type { PreparedChoice } from './prepared-choice.js';
import type { ChoiceLayout } from './types.js';

/** Values this close, relatively, are the same value: then mass, effort and order decide. */
export const TIE_RELATIVE = 1e-9;

interface ShelvedLayout extends ChoiceLayout {
	readonly changes: Float64Array;
}

/**
 * The best layouts met so far, for one number of touches. Kept is whatever could still be among the `keep` best: a layout
 * is dropped when it is over the radius, or when `keep` others have no higher value and come first in a tie.
 */
export class LayoutShelf {
	/** A layout with a value over this is of no use. Infinity until `keep` layouts are known. */
	radius = Number.POSITIVE_INFINITY;
	private readonly prepared: PreparedChoice;
	private readonly keep: number;
	/** Ascending by value. */
	private readonly shelved: ShelvedLayout[] = [];

	constructor(prepared: PreparedChoice, keep: number) {
		this.prepared = prepared;
		this.keep = keep;
	}

	/** Offers a layout; true when it is taken. `changes` is copied. */
	offer(changes: Float64Array, value: number): boolean {
		if (value > this.radius) return false;
		const layout = shelve(this.prepared, changes, value);
		let at = this.shelved.length;
		let ahead = 0;
		while (at > 0 && this.shelved[at - 1]!.value > value) at--;
		for (let i = 0; i < at; i++) {
			const order = compareInTie(this.shelved[i]!, layout);
			if (order === 0) return false;
			if (order < 0) ahead++;
		}
		if (ahead >= this.keep) return false;
		for (let i = at; i < this.shelved.length; i++) if (compareInTie(this.shelved[i]!, layout) === 0) return false;
		this.shelved.splice(at, 0, layout);
		this.tidy();
		return true;
	}

	/** Takes over what another shelf holds, as far as it needs no more than `touches`. */
	offerAll(other: LayoutShelf, touches: number): void {
		for (const layout of other.shelved) if (layout.touches <= touches) this.offer(layout.changes, layout.value);
	}

	/** The `keep` best, best first: by value, within a tie by mass, effort and order. */
	layouts(): ChoiceLayout[] {
		const ordered: ShelvedLayout[] = [];
		let from = 0;
		while (from < this.shelved.length && ordered.length < this.keep) {
			const top = this.shelved[from]!.value + this.tieWidth(this.shelved[from]!.value);
			let to = from + 1;
			while (to < this.shelved.length && this.shelved[to]!.value <= top) to++;
			ordered.push(...this.shelved.slice(from, to).sort(compareInTie));
			from = to;
		}
		return ordered.slice(0, this.keep).map(({ settings, value, touches, mass, effort }) => {
			return { settings, value, touches, mass, effort };
		});
	}

	/** Lowest value on the shelf, Infinity when empty. */
	get lowest(): number {
		return this.shelved[0]?.value ?? Number.POSITIVE_INFINITY;
	}

	private tieWidth(value: number): number {
		return TIE_RELATIVE * value + 1e-20 * this.prepared.scale;
	}

	private tidy(): void {
		const last = this.shelved[this.keep - 1];
		if (last === undefined) return;
		this.radius = Math.min(this.radius, last.value + this.tieWidth(last.value));
		let kept = 0;
		for (const layout of this.shelved) {
			let ahead = 0;
			for (let i = 0; i < kept; i++) if (compareInTie(this.shelved[i]!, layout) < 0) ahead++;
			if (layout.value <= this.radius && ahead < this.keep) this.shelved[kept++] = layout;
		}
		this.shelved.length = kept;
	}
}

function shelve(prepared: PreparedChoice, changes: Float64Array, value: number): ShelvedLayout {
	const settings: number[] = [];
	let touches = 0;
	let mass = 0;
	let effort = 0;
	for (let j = 0; j < prepared.size; j++) {
		const setting = prepared.settings[j]![prepared.changes[j]!.indexOf(changes[j]!)]!;
		settings.push(setting);
		mass += prepared.mass[j]! * Math.abs(setting);
		if (changes[j] !== 0) {
			touches++;
			effort += prepared.effort[j]!;
		}
	}
	return { changes: Float64Array.from(changes), settings, value, touches, mass, effort };
}

/** Negative when `a` comes first among layouts of one value: less mass, then less effort, then the lower settings. */
function compareInTie(a: ChoiceLayout, b: ChoiceLayout): number {
	if (Math.abs(a.mass - b.mass) > TIE_RELATIVE * (a.mass + b.mass)) return a.mass - b.mass;
	if (Math.abs(a.effort - b.effort) > TIE_RELATIVE * (a.effort + b.effort)) return a.effort - b.effort;
	for (let j = 0; j < a.settings.length; j++) {
		const difference = a.settings[j]! - b.settings[j]!;
		if (difference !== 0) return difference;
	}
	return 0;
}
