import { describe, expect, it } from 'vitest';
import { faultsIn } from '../src/problem/index.js';
import {
	isSamePerson,
	notCompared,
	type ProvenanceDocument,
	placedNumbers,
	placeOf,
	readProvenance,
} from '../src/provenance/index.js';
import { typeDataSchema } from '../src/type-data/index.js';

/** Invented numbers. */
const type = {
	limits: [
		{ id: 'torque-to-40', above: 100, maxSeconds: 0 },
		{ id: 'torque-above-40', above: 92.7, maxSeconds: 0 },
	],
	rotors: [
		{
			id: 'main',
			rpm: 390,
			blades: [{ id: 'A', passAngleDeg: 0 }],
			channels: [{ id: 'hover/lat', limitIps: 0.2, weight: 1 }],
			coefficients: [{ channel: 'hover/lat', kind: 'plate', amplitudeIpsPerUnit: 0.06, phaseDeg: 38 }],
		},
	],
};
const source = { document: 'Check manual (invented)', revision: '2', page: '2-1', typedBy: 'Ada', checkedBy: null };

function provenance(numbers: ProvenanceDocument['numbers']): ProvenanceDocument {
	return { format: 'stillmast/provenance@1', type: 'Ouzel 3', numbers };
}

describe('placedNumbers(document, value)', () => {
	it('names each number by ids, and coefficients by channel and kind', () => {
		expect(placedNumbers('type', type).map(({ place, value }) => [place, value])).toEqual([
			['type:limits/torque-to-40/above', 100],
			['type:limits/torque-to-40/maxSeconds', 0],
			['type:limits/torque-above-40/above', 92.7],
			['type:limits/torque-above-40/maxSeconds', 0],
			['type:rotors/main/rpm', 390],
			['type:rotors/main/channels/hover/lat/limitIps', 0.2],
			['type:rotors/main/coefficients/hover/lat plate/amplitudeIpsPerUnit', 0.06],
			['type:rotors/main/coefficients/hover/lat plate/phaseDeg', 38],
		]);
	});

	it('keeps a place when a line above it goes', () => {
		const shorter = { ...type, limits: type.limits.slice(1) };
		expect(placedNumbers('type', shorter)[0]?.place).toBe('type:limits/torque-above-40/above');
	});
});

describe('placeOf(document, value, keys)', () => {
	it('gives the place that placedNumbers gives', () => {
		for (const { keys, place } of placedNumbers('type', type)) expect(placeOf('type', type, keys)).toBe(place);
	});
});

describe('notCompared(documents, provenance)', () => {
	const places = (numbers: ProvenanceDocument['numbers']) =>
		notCompared({ type: { limits: type.limits.slice(0, 1) } }, provenance(numbers)).map(({ place }) => place);
	const compared = { ...source, checkedBy: 'Bo' };

	it('counts every number while nothing is said of it', () => {
		expect(places({})).toEqual(['type:limits/torque-to-40/above', 'type:limits/torque-to-40/maxSeconds']);
	});

	it('leaves out what another person compared, and takes it back when the number changes', () => {
		const seconds = { 'type:limits/torque-to-40/maxSeconds': { ...compared, value: 0 } };
		expect(places({ ...seconds, 'type:limits/torque-to-40/above': { ...compared, value: 100 } })).toEqual([]);
		expect(places({ ...seconds, 'type:limits/torque-to-40/above': { ...compared, value: 101 } })).toEqual([
			'type:limits/torque-to-40/above',
		]);
		expect(places({ ...seconds, 'type:limits/torque-to-40/above': { ...source, value: 100 } })).toEqual([
			'type:limits/torque-to-40/above',
		]);
	});
});

describe('readProvenance(value)', () => {
	it('refuses a number compared by the person who typed it, however the name is written', () => {
		const read = readProvenance(provenance({ 'type:a': { ...source, value: 1, checkedBy: ' ADA ' } }));
		expect(read).toMatchObject({
			ok: false,
			problem: { code: 'not-allowed', path: "$.numbers['type:a'].checkedBy", needed: 'another person than Ada' },
		});
	});

	it('takes what another person compared', () => {
		expect(readProvenance(provenance({ 'type:a': { ...source, value: 1, checkedBy: 'Bo' } })).ok).toBe(true);
	});

	it('refuses a source without a page', () => {
		const { page: _, ...without } = source;
		const read = readProvenance({ ...provenance({}), numbers: { 'type:a': { ...without, value: 1 } } });
		expect(read).toMatchObject({ ok: false, problem: { code: 'missing-field' } });
	});
});

describe('isSamePerson(one, other)', () => {
	it('takes case and spaces for nothing and letters for something', () => {
		expect(isSamePerson('Ada  Berg', 'ada berg ')).toBe(true);
		expect(isSamePerson('Ada Berg', 'Ada Bergh')).toBe(false);
	});
});

describe('faultsIn(schema, value)', () => {
	it('tells every place once, where readAs stops at the first', () => {
		const faults = faultsIn(typeDataSchema, { format: 'stillmast/type@1', invented: false, rotors: [], limits: [{}] });
		const paths = faults.map(({ path }) => path);
		expect(paths).toContain('$.type');
		expect(paths).toContain('$.limits[0].words');
		expect(paths).toContain('$.provenance');
		expect(new Set(paths).size).toBe(paths.length);
	});

	it('finds nothing in nothing wrong', () => {
		expect(faultsIn(typeDataSchema.entries.type, 'Ouzel 3')).toEqual([]);
	});
});
