import type { FieldsOf } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { fold } from '../src/index.js';
import { crew, hover } from './world/people.js';
import { sampleFields } from './world/samples.js';

const vibration = (amplitudeIps: number, phaseDeg: number | null = 118): FieldsOf<'vibration'> => ({
	...hover,
	amplitudeIps,
	phaseDeg,
});

describe('fold(set): statements', () => {
	it('[REC-51] an entry replaces another only if it knew it: clocks decide nothing', async () => {
		const { engineer, pilot, hear } = await crew();
		await engineer.write('step', { flight: 1, step: 'hover', state: 'later' });
		hear();
		await pilot.write('step', { flight: 1, step: 'hover', state: 'done' });
		hear();
		expect(fold(engineer.set).flights[0]?.steps.get('hover')).toMatchObject({ state: 'one', holds: { state: 'done' } });
		await engineer.write('step', { flight: 1, step: 'climb', state: 'done' });
		await pilot.write('step', { flight: 1, step: 'climb', state: 'later' });
		hear();
		const climb = fold(engineer.set).flights[0]?.steps.get('climb');
		expect(climb).toMatchObject({ state: 'differ', holds: null });
		expect(climb?.entries).toHaveLength(2);
	});

	it('[REC-51] header fields, flights and contexts stand side by side until one replaces both', async () => {
		const { engineer, pilot, hear } = await crew();
		for (const [hand, value] of [
			[engineer, 'W-17'],
			[pilot, 'W-71'],
		] as const) {
			await hand.write('header', { field: 'workOrder', value, unit: '' });
			await hand.write('flight', { flight: 1, state: 'opened', fuelKg: value === 'W-17' ? 300 : 310 });
			await hand.write('run', {
				flight: 1,
				run: 1,
				state: 'context',
				regime: 'hover',
				context: { oatC: value.length, who: value },
			});
		}
		hear();
		expect(fold(engineer.set).toAgree).toHaveLength(3);
		await engineer.write('header', { field: 'workOrder', value: 'W-17', unit: '' });
		await engineer.write('flight', { flight: 1, state: 'opened', fuelKg: 300 });
		await engineer.write('run', { flight: 1, run: 1, state: 'context', regime: 'hover', context: { oatC: 4 } });
		const state = fold(engineer.set);
		expect(state.toAgree).toEqual([]);
		expect(state.header.get('workOrder')?.holds?.value).toBe('W-17');
		expect(state.flights[0]?.opened?.holds?.fuelKg).toBe(300);
	});

	it('[REC-53] narratives stand side by side until one names both', async () => {
		const { engineer, pilot, hear } = await crew();
		const one = await engineer.write('narrative', { subject: 'summary', text: 'one', replaces: [] });
		const two = await pilot.write('narrative', { subject: 'summary', text: 'two', replaces: [] });
		hear();
		expect(fold(engineer.set).narratives.get('summary')).toHaveLength(2);
		const both = { subject: 'summary', text: 'both', replaces: [one.hash, two.hash] };
		await engineer.write('narrative', both);
		expect(fold(engineer.set).narratives.get('summary')).toMatchObject([{ text: 'both' }]);
	});

	it('[REC-54] a run is left out of learning while the newest word says so', async () => {
		const { engineer } = await crew();
		await engineer.write('vibration', vibration(0.31));
		const out = { what: 'run', rotor: 'main', flight: 1, run: 1, include: false, reason: 'gusts' } as const;
		await engineer.write('use', out);
		expect(fold(engineer.set).flights[0]?.runs[0]?.excluded.has('main')).toBe(true);
		await engineer.write('use', { ...out, include: true, reason: 'calm after all' });
		expect(fold(engineer.set).flights[0]?.runs[0]?.excluded.size).toBe(0);
	});

	it('[REC-54] puts witnesses, memories and decisions on one parameter of one flight together', async () => {
		const { engineer, pilot, hear } = await crew();
		const samples = sampleFields(engineer.set.record);
		await pilot.write('witness', samples.witness);
		await engineer.write('memory', samples.memory);
		hear();
		await engineer.write('decision', samples.decision);
		await engineer.write('decision', { ...samples.decision, finding: 'passed' });
		const [evidence] = fold(engineer.set).limits;
		expect(evidence).toMatchObject({ flight: 1, parameter: 'torquePct', decisions: [{ finding: 'passed' }] });
		expect([evidence?.witnesses.length, evidence?.memories.length]).toEqual([1, 1]);
	});
});
