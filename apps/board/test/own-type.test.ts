import { notCompared } from '@stillmast/formats/provenance';
import { describe, expect, it } from 'vitest';
import sampleType from '../../../demo-scenarios/after-gearbox-smoothing/type.json' with { type: 'json' };
import { compareRows } from '../src/lib/editor/compare.view.js';
import { filesOf, takenIn } from '../src/lib/editor/exchange.js';
import { faultWords, keysOf } from '../src/lib/editor/fault-words.js';
import {
	blankType,
	documentsOf,
	faultsOf,
	isUsable,
	type OwnType,
	pageState,
	revisedType,
	stateOf,
	usableDocuments,
} from '../src/lib/editor/own-type.js';
import { revisedSince } from '../src/lib/editor/revised.view.js';
import { idFrom, valueAt, withValue } from '../src/lib/editor/tree.js';
import { typeNameFault } from '../src/lib/editor/type-name.js';

/** An invented type: one limit line, one step. */
const line = {
	id: 'torque',
	words: 'torque',
	parameter: 'torquePct',
	unit: '%',
	above: 100,
	maxSeconds: 0,
	reference: 'Manual (invented) 2-1',
};
const step = { id: 'hover', title: 'Hover', phase: 'hover', hold: 'Into wind.', lines: ['torque'], fields: [] };

function typed(changes: { readonly type?: object; readonly card?: object } = {}): OwnType {
	const blank = blankType('k1', 'Heron 2', 0);
	return {
		...blank,
		documents: {
			type: { ...(blank.documents.type as object), limits: [line], ...changes.type },
			card: { ...(blank.documents.card as object), title: 'After repair', steps: [step], ...changes.card },
		},
	};
}

function compared(own: OwnType, checkedBy: string | null = 'Bo'): OwnType {
	const numbers = Object.fromEntries(
		notCompared(own.documents, own.provenance).map(({ place, value }) => [
			place,
			{ value, document: 'Manual (invented)', revision: '4', page: '2-1', typedBy: 'Ada', checkedBy },
		]),
	);
	return { ...own, provenance: { ...own.provenance, numbers } };
}

describe('blankType(key, type, nowMs)', () => {
	it('holds no number at all', () => {
		const blank = blankType('k', 'Heron 2', 0);
		expect(notCompared(blank.documents, blank.provenance)).toEqual([]);
		expect(pageState(blank, 'limits')).toEqual({ state: 'empty' });
		expect(isUsable(blank)).toBe(false);
	});
});

describe('usableDocuments(own)', () => {
	it('needs limits and card and nothing else', () => {
		const documents = usableDocuments(typed());
		expect(documents?.typeData).toMatchObject({ type: 'Heron 2', invented: false, rotors: [], consumers: [] });
		expect(documents?.card).toMatchObject({ type: 'Heron 2', revision: '1', invented: false });
	});

	it('refuses a page that was begun and left unfinished, which would be judged in part', () => {
		const own = typed({ type: { consumers: [{ id: 'heater', name: 'heater', riseC: { least: 8 } }] } });
		expect(pageState(own, 'bleed')).toEqual({ state: 'unfinished', missing: 2, wrong: 0 });
		expect(usableDocuments(own)).toBeNull();
	});

	it('refuses a card that names a line nobody typed', () => {
		const own = typed({ card: { steps: [{ ...step, lines: ['gone'] }] } });
		expect(pageState(own, 'card')).toEqual({ state: 'unfinished', missing: 0, wrong: 1 });
	});

	it('refuses a line with both bounds or none', () => {
		expect(isUsable(typed({ type: { limits: [{ ...line, below: 10 }] } }))).toBe(false);
		const { above: _, ...none } = line;
		expect(isUsable(typed({ type: { limits: [none] } }))).toBe(false);
	});
});

describe('stateOf(own)', () => {
	it('is a draft until another person compared every number', () => {
		expect(stateOf(typed())).toBe('draft');
		expect(stateOf(compared(typed(), null))).toBe('draft');
		expect(stateOf(compared(typed()))).toBe('checked');
	});

	it('is a draft again when a compared number changes', () => {
		const own = compared(typed());
		const type = withValue(own.documents.type, ['limits', 0, 'above'], 101);
		expect(stateOf({ ...own, documents: { ...own.documents, type } })).toBe('draft');
	});

	it('says who typed and who compared in the documents of data in use', () => {
		const { type } = documentsOf({ ...compared(typed()), standing: 'in-use' });
		expect(valueAt(type, ['provenance'])).toEqual({
			document: 'Manual (invented)',
			revision: '4',
			typedBy: 'Ada',
			checkedBy: 'Bo',
			state: 'in-use',
		});
	});
});

describe('faultWords(documents, fault)', () => {
	it('names the field as the person sees it', () => {
		const own = typed({ type: { limits: [{ ...line, above: 'abc' }] } });
		const words = faultsOf(own).map((fault) => faultWords(own.documents, fault));
		expect(words).toEqual(['torque: Not above: found abc, needed a number.']);
	});

	it('says what is missing', () => {
		const own = typed({ card: { steps: [{ ...step, hold: undefined }] } });
		expect(faultsOf(own).map((fault) => faultWords(own.documents, fault))).toEqual([
			'Hover: What to hold: still missing.',
		]);
	});

	it('holds a goal over its limit against the limit', () => {
		const channel = {
			id: 'hover/lat',
			regime: 'hover',
			station: 'lat',
			weight: 1,
			limitIps: 0.2,
			goalIps: 0.3,
			stopIps: 1,
		};
		const rotor = {
			name: 'Main rotor',
			regimes: { hover: 'hover' },
			stations: { lat: 'lateral' },
			channels: [channel],
		};
		const own = typed({ type: { rotors: [rotor] } });
		const words = faultsOf(own).map((fault) => faultWords(own.documents, fault));
		expect(words).toContain('Main rotor, hover lateral: limit: found 0.2, needed not under the lesser one.');
	});
});

describe('keysOf(path)', () => {
	it('reads what childPath writes', () => {
		expect(keysOf("$.rotors[0].regimes['80-kt']")).toEqual(['rotors', 0, 'regimes', '80-kt']);
	});
});

describe('compareRows(own)', () => {
	it('takes the same setting of three blades for one number', () => {
		const adjusters = ['A', 'B', 'C'].map((blade) => ({ id: `plate-${blade}`, kind: 'plate', blade, min: 0, max: 8 }));
		const own = typed({ type: { rotors: [{ id: 'main', name: 'Main rotor', adjusters }] } });
		const rows = compareRows(own).filter(({ name }) => name.includes('plate'));
		expect(rows.map(({ name, value, places }) => [name, value, places.length])).toEqual([
			['Main rotor, plate: Least', '0', 3],
			['Main rotor, plate: Most', '8', 3],
		]);
	});

	it('tells a number that changed since it was compared', () => {
		const own = compared(typed());
		const type = withValue(own.documents.type, ['limits', 0, 'above'], 101);
		const rows = compareRows({ ...own, documents: { ...own.documents, type } });
		expect(rows.find(({ name }) => name === 'torque: Not above')).toMatchObject({ value: '101 %', state: 'changed' });
	});
});

describe('filesOf(own) and takenIn(own, files)', () => {
	it('carry everything to another device, with who typed and who compared', () => {
		const own = compared(typed());
		const { own: other, refused } = takenIn(blankType('k2', '', 0), filesOf(own));
		expect(refused).toEqual([]);
		expect(documentsOf(other)).toEqual(documentsOf(own));
		expect(stateOf(other)).toBe('checked');
	});

	it('refuses the sample: real data never begins as a copy of an invented one', () => {
		const { taken, refused } = takenIn(blankType('k', 'Heron 2', 0), [
			{ name: 'type.json', text: JSON.stringify(sampleType) },
		]);
		expect(taken).toEqual([]);
		expect(refused).toEqual([{ file: 'type.json', reason: 'invented data never becomes your own type data' }]);
	});

	it('refuses sources in which a person compares their own numbers', () => {
		const own = compared(typed(), 'ada');
		const { refused } = takenIn(blankType('k', 'Heron 2', 0), filesOf(own));
		expect(refused.map(({ file }) => file)).toEqual(['heron-2-1.sources.json']);
	});

	it('refuses what is no JSON and what it does not know', () => {
		const { refused } = takenIn(typed(), [
			{ name: 'a.json', text: '{' },
			{ name: 'b.json', text: '{"format":"other"}' },
		]);
		expect(refused.map(({ file }) => file)).toEqual(['a.json', 'b.json']);
	});
});

describe('revisedSince(opened, own)', () => {
	const opened = usableDocuments(typed())?.typeData;
	const next = { ...revisedType(compared(typed()), 'k2', 1), standing: 'in-use' as const };

	it('says each number that differs, and is silent while the same revision is in use', () => {
		if (opened === undefined) throw new Error('the typed example is usable');
		const type = withValue(next.documents.type, ['limits', 0, 'above'], 98);
		const revised = revisedSince(opened, [{ ...next, documents: { ...next.documents, type } }]);
		expect(revised?.from).toBe('This check counts with revision 1. Revision 2 is in use.');
		expect(revised?.numbers).toEqual(['torque: Not above: 100 here, 98 now']);
		expect(revisedSince(opened, [{ ...typed(), standing: 'in-use' }])).toBeNull();
	});
});

describe('idFrom(words, taken)', () => {
	it('makes a name for files and numbers it when it is taken', () => {
		expect(idFrom('Torque, above 40 kt', [])).toBe('torque-above-40-kt');
		expect(idFrom('Torque', ['torque'])).toBe('torque-2');
		expect(idFrom('ÖÄ', [])).toBe('oa');
		expect(idFrom('???', [])).toBe('item');
	});
});

describe('typeNameFault(name)', () => {
	it('refuses nothing and the names of samples', () => {
		expect(typeNameFault(' ')).not.toBeNull();
		expect(typeNameFault('ouzel 3')).not.toBeNull();
		expect(typeNameFault('Heron 2')).toBeNull();
	});
});
