import type { Entry } from '@stillmast/formats/entry';
import { updateOf } from '@stillmast/record/carrier';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Clock, LogLine } from '../src/ports.js';
import { systemClock } from '../src/ports.js';
import { guardHere, type UpdateGuard } from '../src/room/guard.js';
import { startGuardThread } from '../src/room/guard-thread.js';
import { type Opened, openCheck, person, remark, writerOf } from './crew.js';

describe('startGuardThread(ports)', () => {
	let guard: UpdateGuard;
	let check: Opened;
	const log: LogLine[] = [];

	beforeEach(async () => {
		log.length = 0;
		guard = startGuardThread({ clock: systemClock, log: (line) => log.push(line) });
		check = await openCheck(await person('engineer'));
	});
	afterEach(() => guard.stop());

	it('[RLY-24] answers what judging in the same thread answers, for sound, forged and unreadable updates', async () => {
		const entry = await remark(check.writer, 'steady');
		const updates = [
			updateOf([entry]),
			updateOf([{ ...entry, text: 'altered' }]),
			updateOf([{ ...entry, sig: `${'A'.repeat(86)}` }]),
			new Uint8Array([1, 2, 3]),
			new Uint8Array(0),
			updateOf(check.set.inOrder()),
		];
		for (const update of updates) {
			expect(await guard.judge(update, check.set)).toEqual(await guardHere.judge(update, check.set));
		}
	});

	it('[RLY-24] asks for a key that it has not seen, once, and knows it afterwards', async () => {
		const pilot = await person('pilot');
		const writer = writerOf(check, pilot);
		const first = await remark(writer, 'first');
		const second = await remark(writer, 'second');
		expect((await guard.judge(updateOf([second]), check.set)).ok).toBe(true);
		const { EntrySet } = await import('@stillmast/record/set');
		expect((await guard.judge(updateOf([second]), new EntrySet(check.record))).ok).toBe(true);
		const stranger = writerOf(check, await person('stranger'));
		await remark(stranger, 'names the key');
		const later = await remark(stranger, 'does not');
		const without = new EntrySet(check.record, [first]);
		expect(await guard.judge(updateOf([later]), without)).toMatchObject({
			ok: false,
			problem: { code: 'key-unknown' },
		});
	});

	it('[RLY-24] turns away an update that takes too long, and goes on with the others', async () => {
		await guard.stop();
		// A clock whose limit is over at once for the first lot and for one update by itself.
		let limits = 0;
		const impatient: Clock = {
			...systemClock,
			after: (delayMs, work) => systemClock.after(++limits <= 2 ? 0 : delayMs, work),
		};
		guard = startGuardThread({ clock: impatient, log: (line) => log.push(line) });
		const entries: Entry[] = [];
		for (let count = 0; count < 300; count++) entries.push(await remark(check.writer, `offline ${count}`));
		const large = updateOf(entries);
		const small = updateOf([await remark(check.writer, 'small')]);
		const [slow, quick] = await Promise.all([guard.judge(large, check.set), guard.judge(small, check.set)]);
		expect(slow).toEqual({ ok: false, problem: { code: 'too-slow' } });
		expect(quick.ok).toBe(true);
		expect(log.filter((line) => line.event === 'guard-restarted')).toHaveLength(2);
	});

	it('[RLY-24] a hundred updates at once are answered each by its own verdict', async () => {
		const entries: Entry[] = [];
		for (let count = 0; count < 100; count++) entries.push(await remark(check.writer, `n ${count}`));
		const verdicts = await Promise.all(entries.map((entry) => guard.judge(updateOf([entry]), check.set)));
		verdicts.forEach((verdict, index) => {
			expect(verdict.ok && verdict.value.entries[0]?.hash).toBe(entries[index]?.hash);
		});
	});
});
