import { describe, expect, it } from 'vitest';
import { fold } from '../src/index.js';
import { conditionField, flightConditions, flightFields, readCrew } from '../src/judge/index.js';
import { crew } from './world/people.js';

describe('flightConditions(state, flight)', () => {
	it('[JDG-13] takes what was written down before the flight, until the flight itself says otherwise', async () => {
		const { engineer, pilot, hear } = await crew();
		const look = () =>
			flightConditions(fold(engineer.set), 1).map(({ quantity, value, entry }) => [quantity, value, entry.by]);
		await engineer.write('header', { field: conditionField(1, 'oatC'), value: 12, unit: 'C' });
		await engineer.write('header', { field: conditionField(1, 'fuelKg'), value: 310, unit: 'kg' });
		await engineer.write('header', { field: conditionField(2, 'windKt'), value: 30, unit: 'kt' });
		const engineerKey = engineer.key.fingerprint;
		const pilotKey = pilot.key.fingerprint;
		expect(look()).toEqual([
			['fuelKg', 310, engineerKey],
			['oatC', 12, engineerKey],
		]);
		hear();
		await pilot.write('flight', flightFields(fold(pilot.set), 1, { fuelKg: 290, massKg: 2100 }));
		hear();
		expect(look()).toEqual([
			['massKg', 2100, pilotKey],
			['fuelKg', 290, pilotKey],
			// only repeated by the pilot: the engineer said it
			['oatC', 12, engineerKey],
		]);
		await pilot.write('flight', flightFields(fold(pilot.set), 1, { massKg: null }));
		hear();
		expect(look().map(([quantity]) => quantity)).toEqual(['fuelKg', 'oatC']);
	});

	it('[JDG-13] says nothing for which nobody wrote anything, and leaves empty fields out of the entry', async () => {
		const { engineer } = await crew();
		const state = fold(engineer.set);
		expect(flightConditions(state, 1)).toEqual([]);
		expect(flightFields(state, 1)).toEqual({ flight: 1, state: 'opened' });
	});
});

describe('readCrew(text)', () => {
	it('reads seat and name, one a line, and a line without a seat as a name', () => {
		expect(readCrew('right: A. Pilot\n\n left : E: two\nB. Guest')).toEqual([
			{ seat: 'right', name: 'A. Pilot' },
			{ seat: 'left', name: 'E: two' },
			{ seat: '', name: 'B. Guest' },
		]);
		expect(readCrew('right:')).toEqual([]);
	});
});
