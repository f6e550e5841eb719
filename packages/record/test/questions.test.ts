import { describe, expect, it } from 'vitest';
import { fold, openQuestions } from '../src/index.js';
import { crew } from './world/people.js';

describe('openQuestions(state)', () => {
	it('[REC-64] holds a question until it is answered, and a remark never', async () => {
		const { engineer, pilot, hear } = await crew();
		const open = () => openQuestions(fold(engineer.set)).map(({ text }) => text);
		await pilot.write('remark', { to: null, asks: false, text: 'a dry day' });
		const asked = await pilot.write('remark', { to: null, asks: true, text: 'which blade?' });
		hear();
		expect(open()).toEqual(['which blade?']);
		await engineer.write('reply', { to: asked.hash, text: 'blade A' });
		expect(open()).toEqual([]);
	});

	it('[REC-64] opens one that was put off again after the next landing, not after the last', async () => {
		const { engineer, pilot, hear } = await crew();
		const open = () => openQuestions(fold(pilot.set)).map(({ hash }) => hash);
		const fly = async (flight: number) => {
			await pilot.write('flight', { flight, state: 'opened' });
			await pilot.write('flight', { flight, state: 'closed' });
		};
		await fly(1);
		const asked = await engineer.write('remark', { to: null, asks: true, text: 'measure it again?' });
		hear();
		await pilot.write('reply', { to: asked.hash, answer: 'after-landing' });
		expect(open()).toEqual([]);
		await fly(2);
		expect(open()).toEqual([asked.hash]);
		await pilot.write('reply', { to: asked.hash, answer: 'seen' });
		await fly(3);
		expect(open()).toEqual([]);
	});
});
