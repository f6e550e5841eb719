import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Ordered } from '../src/fold/ordered.js';

interface Item {
	readonly place: number;
	readonly said: number;
}

const byPlace = (a: Item, b: Item) => a.place - b.place;

describe('Ordered(compare)', () => {
	it('holds what a plain sorted list would hold, and what it gave before never changes', () => {
		const step = fc.record({ place: fc.nat(1_500), gone: fc.boolean(), look: fc.integer({ min: 0, max: 30 }) });
		fc.assert(
			fc.property(fc.array(step, { minLength: 800, maxLength: 2_500 }), (steps) => {
				const list = new Ordered<Item>(byPlace);
				const plain = new Map<number, Item>();
				const given: [readonly Item[], readonly Item[]][] = [];
				steps.forEach(({ place, gone, look }, said) => {
					if (gone && said % 3 === 0) {
						list.delete({ place, said });
						plain.delete(place);
					} else {
						list.set({ place, said });
						plain.set(place, { place, said });
					}
					if (look > 0) return;
					const snapshot = list.snapshot();
					// asked for at once, and for the last time only at the end
					given.push([said % 2 === 0 ? snapshot.items : [], [...plain.values()].sort(byPlace)]);
					if (said % 2 === 0) expect(list.list()).toBe(snapshot.items);
					else given[given.length - 1] = [lateOf(snapshot), [...plain.values()].sort(byPlace)];
				});
				for (const [list, expected] of given) expect([...list]).toEqual(expected);
				expect(list.list()).toEqual([...plain.values()].sort(byPlace));
			}),
			{ numRuns: 20, seed: 20_261_125 },
		);
	});

	it('keeps its order through thousands put in from both ends', () => {
		const list = new Ordered<Item>(byPlace);
		for (let n = 0; n < 3_000; n++) list.set({ place: n % 2 === 0 ? n : -n, said: n });
		const places = list.list().map(({ place }) => place);
		expect(places).toEqual([...places].sort((a, b) => a - b));
		expect(places).toHaveLength(3_000);
	});
});

/** A list that is put together only when somebody goes through it. */
function lateOf(snapshot: { readonly items: readonly Item[] }): readonly Item[] {
	return { [Symbol.iterator]: () => snapshot.items[Symbol.iterator]() } as unknown as readonly Item[];
}
