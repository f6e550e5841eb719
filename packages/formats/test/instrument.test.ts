import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readTypeData, turnReading } from '../src/type-data/index.js';

/** The invented Ouzel 3, with two invented instruments. */
const folder = join(import.meta.dirname, '../../../demo-scenarios/after-gearbox-smoothing');
const instruments = [
	{
		id: 'hand-held',
		name: 'Hand-held box',
		convention: { unit: 'mm/s', reckoning: 'rms', phase: 'lead', pulsePassAngleDeg: 120 },
	},
	{ id: 'built-in', name: 'Built-in', convention: { unit: 'ips', reckoning: 'peak', phase: 'lag', polarity: -1 } },
];
const document = { ...JSON.parse(readFileSync(join(folder, 'type.json'), 'utf8')), instruments };
const read = readTypeData(document);
if (!read.ok) throw new Error(JSON.stringify(read.problem));
const typeData = read.value;

describe('turnReading(typeData, instrument, rotor, stated)', () => {
	it('turns unit, reckoning, sense and pulse by hand: 25.4 mm/s rms at 30° lead on the pulse of the blade 120° later', () => {
		const turned = turnReading(typeData, 'hand-held', 'main', { level: 25.4, phaseDeg: 30 });
		if (!turned.ok) throw new Error(turned.problem.code);
		// 1 in = 25.4 mm; peak = √2 rms; lag = −lead, counted from a pulse that comes 120° after the reference blade's
		expect(turned.value.amplitudeIps).toBeCloseTo(Math.SQRT2, 12);
		expect(turned.value.phaseDeg).toBeCloseTo(90, 12);
	});

	it('a sensor mounted the other way round is half a turn out; a missing phase stays missing', () => {
		expect(turnReading(typeData, 'built-in', 'main', { level: 0.2, phaseDeg: 10 })).toEqual({
			ok: true,
			value: { amplitudeIps: 0.2, phaseDeg: 190 },
		});
		const without = turnReading(typeData, 'built-in', 'main', { level: 0.2, phaseDeg: null });
		expect(without.ok && without.value.phaseDeg).toBeNull();
	});

	it.each([
		['unknown-instrument', 'no', 'main', 0.2],
		['unknown-rotor', 'built-in', 'no', 0.2],
		['not-a-level', 'built-in', 'main', -1],
	] as const)('%s', (code, instrument, rotor, level) => {
		const turned = turnReading(typeData, instrument, rotor, { level, phaseDeg: 0 });
		expect(turned.ok ? null : turned.problem.code).toBe(code);
	});

	it('an instrument that stands twice is refused with its place', () => {
		const twice = readTypeData({ ...document, instruments: [instruments[0], instruments[0]] });
		expect(twice.ok ? null : twice.problem.path).toBe('$.instruments[1]');
	});
});
