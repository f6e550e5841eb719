import { rehearse } from '@stillmast/rehearsal';
import { describe, expect, it } from 'vitest';
import { rehearseVerb } from '../src/rehearse/verb.js';
import { UsageError } from '../src/verb.js';
import { testIo } from './test-io.js';

async function run(args: readonly string[]) {
	const { io, said } = testIo();
	const status = await rehearseVerb(rehearse).run(args, io);
	return { status, ...said };
}

describe('stillmast rehearse', () => {
	it('--json prints the attempts of this seed and nothing else', async () => {
		const { status, out, err } = await run(['--seed', '7', '--attempts', '3', '--json']);
		expect({ status, err }).toEqual({ status: 0, err: '' });
		const answer = JSON.parse(out);
		expect(answer).toMatchObject({ format: 'stillmast/rehearsal@1', invented: true, seed: 7, usesWarning: true });
		expect(answer.task).toMatchObject({ fromPct: 20, toPct: 80, targetS: 2 });
		expect(answer.attempts).toEqual(rehearse({ seed: 7, attempts: 3, targetS: 2, usesWarning: true }));
	});

	it('tells people one row an attempt, and that nothing was flown', async () => {
		const { out } = await run(['--attempts', '2', '--no-warning']);
		expect(out).toContain('without the warning');
		expect(out.match(/^ +\d .*(?:inside|outside:)/gm)).toHaveLength(2);
		expect(out).toContain('nothing here was flown');
		expect(out).toContain('inside here is not readiness for the aircraft');
	});

	it.each([[['--attempts', '0']], [['--target-s', '11']], [['--seed', 'x']], [['file.json']], [['--pilot']]])(
		'refuses %j',
		async (args) => {
			await expect(run(args)).rejects.toBeInstanceOf(UsageError);
		},
	);
});
