import { describe, expect, it } from 'vitest';
import { messagesFor, pageSigns, pagesOf } from '../src/lib/talk/messages.view.js';
import { names, openCheck, type Writer } from './record-crew.js';

const titles = ({ state, own }: Writer) => messagesFor(state, own, names).map(({ title, pages }) => [title, ...pages]);

describe('messagesFor(state, ownKey, names)', () => {
	it('holds what others ask until anybody answers, and what they say until this pen has seen it', async () => {
		const engineer = await openCheck();
		const pilot = await engineer.letIn('pilot');
		const support = await engineer.letIn('support');
		support.hear(pilot);
		const asked = await support.write('remark', { to: null, asks: true, text: 'Which blade was it?' });
		const said = await support.write('remark', { to: null, asks: false, text: 'The link needs a look.' });
		await pilot.write('remark', { to: null, asks: true, text: 'My own question.' });
		pilot.hear(engineer, support);
		engineer.hear(pilot);
		expect(titles(pilot)).toEqual([
			['S asks', 'Which blade was it?'],
			['S says', 'The link needs a look.'],
		]);
		await engineer.write('reply', { to: asked.hash, answer: 'seen' });
		await engineer.write('reply', { to: said.hash, answer: 'seen' });
		pilot.hear(engineer);
		expect(titles(pilot)).toEqual([['S says', 'The link needs a look.']]);
		await pilot.write('reply', { to: said.hash, answer: 'seen' });
		expect(titles(pilot)).toEqual([]);
		expect(titles(engineer)).toEqual([['P asks', 'My own question.']]);
	});

	it('leaves out remarks from before this pen was let in, not questions; and knows nobody who was not', async () => {
		const engineer = await openCheck();
		await engineer.write('remark', { to: null, asks: false, text: 'An old remark.' });
		await engineer.write('remark', { to: null, asks: true, text: 'An old question.' });
		const pilot = await engineer.letIn('pilot');
		pilot.hear(engineer);
		expect(titles(pilot)).toEqual([['E asks', 'An old question.']]);
		expect(messagesFor(pilot.state, 'nobody', names)).toEqual([]);
	});

	it('says who, when and about which entry', async () => {
		const engineer = await openCheck();
		const pilot = await engineer.letIn('pilot');
		const reading = { flight: 1, run: 1, rotor: 'main', channel: 'hover/lat', amplitudeIps: 0.24, phaseDeg: 18 };
		const written = await pilot.write('vibration', reading);
		engineer.hear(pilot);
		await engineer.write('remark', { to: written.hash, asks: true, text: 'Read again?' });
		pilot.hear(engineer);
		expect(messagesFor(pilot.state, pilot.own, names)).toMatchObject([
			{ from: 'Demo engineer, 10:00Z', about: 'hover lateral, flight 1: 0.24 ips 18\u00b0', asks: true },
		]);
	});
});

describe('pagesOf(text, most)', () => {
	it('cuts between words, leaves nothing out, and gives no part more than a glass has room for', () => {
		const text = Array.from({ length: 160 }, (_, i) => `word${i}`).join(' ');
		const pages = pagesOf(text, pageSigns);
		expect(pages.join(' ')).toBe(text);
		expect(Math.max(...pages.map((page) => page.length))).toBeLessThanOrEqual(pageSigns);
		expect(pages.length).toBeLessThanOrEqual(Math.ceil(text.length / (pageSigns - 10)));
	});

	it('cuts a word that is longer than a glass, and leaves a short text whole', () => {
		expect(pagesOf('abcdefgh ij', 3)).toEqual(['abc', 'def', 'gh', 'ij']);
		expect(pagesOf('  one   line ', 20)).toEqual(['one line']);
	});
});
