import { readAs } from '@stillmast/formats/problem';
import { typeDataSchema } from '@stillmast/formats/type-data';
import { rehearsedRun } from '@stillmast/rehearsal';
import { describe, expect, it } from 'vitest';
import typeJson from '../../../demo-scenarios/after-gearbox-smoothing/type.json';
import { aircraftLines } from '../src/lib/aircraft/aircraft.view.js';
import { instrumentWords } from '../src/lib/rehearsed-check/instrument.view.js';
import { isTail, tailOf } from '../src/lib/rehearsed-check/tail.js';

const read = readAs(typeDataSchema, typeJson);
if (!read.ok) throw new Error(read.problem.code);
const typeData = read.value;
const asked = { kind: 'vibration', rotor: 'main', channel: 'hover/lat' } as const;

function at(flight: number, plates: number | null = 0) {
	const history = new Map([['plate-A', [{ after: 1, value: plates }]]]);
	return { state: { rotors: new Map([['main', { history }]]) } as never, typeData, flight, run: 1 };
}

describe('instrumentWords(asked, at, tail, mark)', () => {
	it('[RHS-30] reads the hidden rotor at the settings of that flight, and names itself as simulated', () => {
		const [main] = typeData.rotors;
		if (main === undefined) throw new Error('no rotor');
		const reading = rehearsedRun(main, 2 * typeData.rotors.length, 1, {}).find(
			({ channel }) => channel === 'hover/lat',
		);
		const words = instrumentWords(asked, at(1), 2, '.');
		expect(words).toBe(
			`Simulated instrument: ${reading?.amplitudeIps.toFixed(2)} ips, ${Math.round(reading?.phaseDeg ?? 0) % 360}°`,
		);
		expect(instrumentWords(asked, at(1), 2, '.')).toBe(words);
		expect(instrumentWords(asked, at(2, 3), 2, '.')).not.toBe(instrumentWords(asked, at(2, 0), 2, '.'));
		expect(instrumentWords(asked, at(1), 3, '.')).not.toBe(words);
	});

	it('[RHS-30] reads nothing while the settings differ, and says what it cannot read', () => {
		expect(instrumentWords(asked, at(2, null), 2, '.')).toMatch(/until the settings on the aircraft are agreed$/);
		const torque = { kind: 'number', subject: 'torque-110', unit: '%', resolution: 0.5 } as const;
		expect(instrumentWords(torque, at(1), 2, '.')).toMatch(/write what the step asks to hold$/);
	});
});

describe('tailOf(state)', () => {
	const header = (value: unknown, purpose = 'rehearsal') =>
		({
			purpose,
			of: {
				header: [
					{ field: 'rehearsal/tail', value },
					{ field: 'rehearsal/tail', value: 9 },
				],
			},
		}) as never;

	it('[RHS-31] is told by the first word of a rehearsal alone: no flight has a hidden rotor', () => {
		expect(tailOf(header(4))).toBe(4);
		expect(tailOf(header(4, 'flight'))).toBeNull();
		expect(tailOf(header('4'))).toBeNull();
		expect([0, 1, 9999, 10_000, 1.5].map(isTail)).toEqual([false, true, true, false, false]);
	});
});

describe('aircraftLines(checks)', () => {
	it('[RHS-31] lets a rehearsal stand with no aircraft', () => {
		const check = (purpose: string) =>
			({
				record: purpose,
				state: { purpose, judged: new Map(), opened: { aircraft: { registration: 'ZZ-LMA', type: 'Ouzel 3' } } },
			}) as never;
		const lines = aircraftLines([check('rehearsal'), check('flight')]);
		expect(lines.flatMap(({ checks }) => checks.map(({ record }) => record))).toEqual(['flight']);
	});
});
