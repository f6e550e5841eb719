import type { RecordState } from '@stillmast/record';
import { describe, expect, it } from 'vitest';
import { gearOf, newGear } from '../src/lib/prepare/gear.view.js';
import { type HeadLine, isDay, readDrafts } from '../src/lib/prepare/head-line.js';
import { conditionLines, jobLines } from '../src/lib/prepare/head-lines.view.js';
import { headerName } from '../src/lib/prepare/header-name.js';
import { licenceField, licenceOf } from '../src/lib/prepare/licence.js';

const engineer = 'engineer-key';
const pilot = 'pilot-key';

/** A state in which these header fields stand, written by the engineer; flights opened on these days. */
function stateWith(
	fields: Readonly<Record<string, string | number>>,
	flightDays: readonly string[] = [],
	signatures: readonly { readonly by: string; readonly licence: string }[] = [],
): RecordState {
	const entries = Object.entries(fields).map(([field, value], n) => ({
		kind: 'header',
		hash: `h${n}`,
		field,
		value,
		unit: field.endsWith('Hours') ? 'h' : '',
		by: engineer,
		at: '2026-11-25T08:15:00.000Z',
	}));
	const flights = flightDays.map((day, index) => {
		const opened = { kind: 'flight', hash: `f${index}`, by: pilot, at: `${day}T09:00:00.000Z`, crew: undefined };
		return { flight: index + 1, opened: { holds: opened, entries: [opened] } };
	});
	return {
		people: new Map([
			[engineer, { role: 'engineer' }],
			[pilot, { role: 'pilot' }],
		]),
		header: new Map(entries.map((entry) => [entry.field, { holds: entry, entries: [entry] }])),
		flights,
		of: { header: entries, signature: signatures },
	} as unknown as RecordState;
}

describe('the sheets of preparation', () => {
	it('show what stands in the record with who and when, and nothing where a box was emptied', () => {
		const lines = jobLines(stateWith({ workOrder: 'W-17', airframeHours: 4182.3, place: '' }));
		const of = (field: string) => lines.find((line) => line.field === field)?.wrote ?? [];
		expect(of('workOrder')).toMatchObject([{ text: 'W-17', pen: 'engineer', time: '08:15Z' }]);
		expect(of('airframeHours')).toMatchObject([{ text: '4182.3 h', typed: '4182.3' }]);
		expect(of('place')).toEqual([]);
	});

	it('write down only what was changed, each by its kind, a value emptied as taken back', () => {
		const lines = jobLines(stateWith({ workOrder: 'W-17', airframeHours: 4182.3 }));
		const read = readDrafts(lines, { workOrder: '', airframeHours: '4183,1', place: '  Hangar 2 ', operator: '' });
		expect(read.ok && [...read.value]).toEqual([
			['workOrder', null],
			['place', 'Hangar 2'],
			['airframeHours', 4183.1],
		]);
	});

	it.each([
		[{}, 'Nothing was changed on this sheet.'],
		[{ workOrder: 'W-17' }, 'Nothing was changed on this sheet.'],
		[{ airframeHours: 'many' }, 'airframe hours, h: write a number.'],
		[{ engineHours: '-1' }, 'engine hours, h: write a number from 0 to 200000.'],
	])('say what is wrong with %o', (drafts, words) => {
		const read = readDrafts(jobLines(stateWith({ workOrder: 'W-17' })), drafts as Record<string, string>);
		expect(read.ok ? '' : read.problem.found).toBe(words);
	});

	it('take a day only as the calendar has it', () => {
		expect(isDay('2028-02-29')).toBe(true);
		for (const none of ['2027-02-29', '2027-13-01', '27-01-01', '01.02.2027']) expect(isDay(none)).toBe(false);
		const [line] = newGear(stateWith({})).lines.filter(({ kind }) => kind === 'day') as [HeadLine];
		const read = readDrafts([line], { [line.field]: '1 March' });
		expect(read.ok ? '' : read.problem.found).toMatch(/write the day as/);
	});

	it('hold the conditions written for a flight that is not open yet', () => {
		const lines = conditionLines(
			stateWith({ 'flight/1/oatC': 12, 'flight/2/oatC': -4, 'flight/2/crew': 'right: A' }),
			2,
		);
		expect(lines.find(({ field }) => field === 'oatC')?.wrote).toMatchObject([
			{ text: '-4 °C'.replace('-', '\u2212') },
		]);
		expect(lines.find(({ field }) => field === 'crew')?.wrote).toMatchObject([{ typed: 'right: A' }]);
	});
});

describe('measuring gear', () => {
	const set = { 'gear/1': 'vibration set', 'gear/1/serial': '0114', 'gear/1/calibrationDue': '2026-11-26' };

	it('is told in one line with serial number and calibration, and offers the next number that is free', () => {
		const state = stateWith({ ...set, 'gear/4/channels': 'lateral at the hub' });
		expect(gearOf(state).map(({ text }) => text)).toEqual([
			'vibration set, serial 0114, calibration due 2026-11-26',
			'Instrument 4, lateral at the hub',
		]);
		expect(newGear(state).number).toBe(5);
	});

	it('whose calibration was due before a flight is said to be so; on the day itself it still holds', () => {
		expect(gearOf(stateWith(set, ['2026-11-25', '2026-11-26']))[0]?.overdue).toBeNull();
		expect(gearOf(stateWith(set, ['2026-11-26', '2026-11-27']))[0]?.overdue).toBe(
			'Calibration of vibration set was due 2026-11-26, before flight 2.',
		);
	});

	it('with a serial number and no day says that the day is missing', () => {
		expect(gearOf(stateWith({ 'gear/1': 'scale', 'gear/1/serial': '7' }))[0]?.text).toMatch(/not written down$/);
	});
});

describe('licenceOf(state, key)', () => {
	it('believes whoever holds it, signed before declared, and nobody else', () => {
		const declared = { [licenceField(engineer)]: 'XX-1', [licenceField(pilot)]: 'by another' };
		expect(licenceOf(stateWith(declared), engineer)).toBe('XX-1');
		expect(licenceOf(stateWith(declared), pilot)).toBeNull();
		expect(licenceOf(stateWith(declared, [], [{ by: engineer, licence: 'XX-2' }]), engineer)).toBe('XX-2');
	});
});

describe('headerName(field)', () => {
	it.each([
		['workOrder', 'work order'],
		['gear/2', 'Instrument 2, instrument'],
		['gear/2/serial', 'Instrument 2, serial number'],
		['flight/3/oatC', 'outside air, flight 3'],
		['licence/abc', 'licence number'],
		['somethingNewer', 'somethingNewer'],
	])('calls %s "%s"', (field, name) => {
		expect(headerName(field)).toBe(name);
	});
});
