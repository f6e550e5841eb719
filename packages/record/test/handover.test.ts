import { describe, expect, it } from 'vitest';
import { fold, readHandover } from '../src/index.js';
import { crew, hover } from './world/people.js';
import { sampleFields } from './world/samples.js';

describe('readHandover(state)', () => {
	it('[REC-63] is empty when nothing is open', async () => {
		const { engineer } = await crew();
		expect(readHandover(fold(engineer.set))).toEqual({
			given: null,
			settings: [],
			notMeasured: [],
			measureAgain: [],
			inspectionsOpen: [],
			toAgree: [],
			limitsUndecided: [],
			stepsLeft: [],
			questions: [],
			gearFitted: [],
		});
	});

	it('[REC-63] tells what is on the aircraft, what is open, and who was asked what, until it is dealt with', async () => {
		const { engineer, pilot, hear } = await crew();
		const samples = sampleFields(engineer.set.record);
		const look = () => readHandover(fold(engineer.set));
		await engineer.write('vibration', { ...hover, amplitudeIps: 0.3, phaseDeg: 10 });
		await engineer.write('adjustment', { rotor: 'main', after: 1, stage: 'made', settings: { 'plate-A': 2 } });
		await pilot.write('step', { flight: 1, step: 'climb', state: 'later', reason: 'cloud' });
		const seen = await pilot.write('witness', samples.witness);
		const question = await pilot.write('remark', { to: null, asks: true, text: 'which blade?' });
		hear();
		const given = await engineer.write('handover', { state: 'given', gearFitted: ['sensor 2'], text: 'to nights' });
		expect(look()).toMatchObject({
			given: { hash: given.hash },
			notMeasured: [{ rotor: 'main', setting: { adjuster: 'plate-A', value: 2 } }],
			measureAgain: [{ result: 'vibration/main/hover/lat' }],
			limitsUndecided: [{ parameter: 'torquePct' }],
			stepsLeft: [{ flight: 1, step: 'climb' }],
			questions: [{ hash: question.hash }],
			gearFitted: ['sensor 2'],
		});
		await engineer.write('adjustment', { rotor: 'main', after: 1, stage: 'measured', settings: { 'plate-A': 2 } });
		await engineer.write('vibration', { ...hover, flight: 2, amplitudeIps: 0.1, phaseDeg: 10 });
		await engineer.write('step', { flight: 2, step: 'climb', state: 'done' });
		await engineer.write('decision', { ...samples.decision, evidence: [seen.hash] });
		await engineer.write('reply', { to: question.hash, text: 'blade A' });
		await engineer.write('handover', { state: 'taken', given: given.hash, gearFitted: [] });
		const empty = {
			given: null,
			notMeasured: [],
			measureAgain: [],
			limitsUndecided: [],
			stepsLeft: [],
			questions: [],
			gearFitted: [],
		};
		expect(look()).toMatchObject(empty);
		expect(look().settings).toHaveLength(1);
	});
});
