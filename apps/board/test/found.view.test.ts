import { readFileSync } from 'node:fs';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { describe, expect, it } from 'vitest';
import { spokeLines } from '../src/lib/check/settings.view.js';
import { foundLines, readFound } from '../src/lib/prepare/found.view.js';

// The invented Ouzel 3: plates, tabs and links on three blades, washers at the tail rotor's points.
const folder = new URL('../../../demo-scenarios/after-gearbox-smoothing/', import.meta.url);
const typeData = JSON.parse(readFileSync(new URL('type.json', folder), 'utf8')) as TypeData;
const main = typeData.rotors.find(({ id }) => id === 'main')!;

function stateWith(settings: Readonly<Record<string, Readonly<Record<string, number>>>>): RecordState {
	const rotors = Object.entries(settings).map(
		([rotor, values]) =>
			[
				rotor,
				{
					settings: new Map(
						Object.entries(values).map(([id, value]) => [id, { adjuster: id, value, values: [value], measured: true }]),
					),
				},
			] as const,
	);
	return { rotors: new Map(rotors) } as unknown as RecordState;
}

const earlier = { state: stateWith({ main: { 'plate-A': 3, 'tab-B': 1.5, 'link-C': -1 } }), typeData };
const now = stateWith({ tail: { 'washer-1': 0 } });

describe('foundLines(state, typeData, earlier)', () => {
	const lines = foundLines(now, typeData, earlier);

	it('asks for each adjuster of rotors that this check says nothing of, with what was there last', () => {
		expect(lines.map(({ rotor }) => rotor).every((rotor) => rotor === 'main')).toBe(true);
		expect(lines).toHaveLength(main.adjusters.length);
		expect(lines.find(({ id }) => id === 'main/plate-A')).toMatchObject({ last: '3 plates', typed: '3' });
		expect(lines.find(({ id }) => id === 'main/plate-B')).toMatchObject({ last: null, typed: '' });
	});

	it('says nothing of an adjuster that is counted in another unit now', () => {
		const other = structuredClone(typeData) as { rotors: { adjusters: { id: string; unit: string }[] }[] };
		for (const one of other.rotors[0]!.adjusters) if (one.id === 'plate-A') one.unit = 'gram';
		const asked = foundLines(now, typeData, { ...earlier, typeData: other as unknown as TypeData });
		expect(asked.find(({ id }) => id === 'main/plate-A')?.last).toBeNull();
	});

	const all = Object.fromEntries(lines.map(({ id }) => [id, true]));
	const zeros = Object.fromEntries(lines.filter(({ last }) => last === null).map(({ id }) => [id, '0']));

	it('[CRD-12] takes none before each was looked at, and then what stands in the boxes', () => {
		expect(readFound(lines, { typed: zeros, seen: {} }, typeData)).toEqual({ state: 'to-look', count: lines.length });
		const but = { ...all, 'main/tab-B': false };
		expect(readFound(lines, { typed: zeros, seen: but }, typeData)).toEqual({ state: 'to-look', count: 1 });
		const read = readFound(lines, { typed: { ...zeros, 'main/tab-B': '+2,0' }, seen: all }, typeData);
		expect(read.state === 'ready' && read.settings.get('main')).toMatchObject({
			'plate-A': 3,
			'tab-B': 2,
			'link-C': -1,
		});
	});

	it('refuses a number that the type does not allow, and an empty box', () => {
		const plate = main.adjusters.find(({ id }) => id === 'plate-A')!;
		const over = { ...zeros, 'main/plate-A': String(plate.max + 1) };
		expect(readFound(lines, { typed: over, seen: all }, typeData)).toMatchObject({ state: 'wrong', high: plate.max });
		expect(readFound(lines, { typed: {}, seen: all }, typeData)).toMatchObject({ state: 'wrong' });
	});
});

describe('spokeLines(rotor, state)', () => {
	it('puts what one blade carries into one line, and leaves out what stands at zero', () => {
		const state = stateWith({ main: { 'plate-A': 3, 'tab-A': 1.5, 'plate-B': 0, 'link-C': -1 } });
		expect(spokeLines(main, state.rotors.get('main')).map(({ name, text }) => `${name}: ${text}`)).toEqual([
			'Blade A: 3 plates, tab +1.5\u00b0',
			'Blade C: link \u22121 flat',
		]);
	});

	it('puts the mass points of a rotor that no blade carries into one line', () => {
		const tail = typeData.rotors.find(({ id }) => id === 'tail')!;
		const state = stateWith({ tail: { 'washer-1': 1, 'washer-2': 2, 'washer-4': 1 } });
		expect(spokeLines(tail, state.rotors.get('tail')).map(({ name, text }) => `${name}: ${text}`)).toEqual([
			'Blade 1: 1 washer',
			'Tail rotor: point 2: 2 washers, point 4: 1 washer',
		]);
	});
});
