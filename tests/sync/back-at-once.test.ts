import { canonicalJson } from '@stillmast/record/hash';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { PageSocket } from './page-socket.js';
import { RelayProcess } from './relay-process.js';
import { level, remark, Tablet, until } from './tablet.js';

vi.stubGlobal('WebSocket', PageSocket);

/** Entries that each device writes while it is away: 2 000 in the long size. */
const EACH = process.env.STILLMAST_LONG === '1' ? 2_000 : 300;

describe('three devices back at once', () => {
	let relay: RelayProcess;

	beforeEach(async () => {
		relay = await RelayProcess.start();
	});
	afterEach(() => relay.end());

	it.each([
		['the pages that wrote them', false],
		['pages loaded anew', true],
	])(
		`[DEV-11] ${EACH} entries each, from %s: equal within 5 s, all stored within 10 s`,
		{ timeout: 120_000 },
		async (_how, reload) => {
			const first = await Tablet.of(relay.url);
			const { record, entries } = await first.earlierRecord(relay.publicKey);
			await relay.adopt(record, entries);
			const others = [await Tablet.of(relay.url), await Tablet.of(relay.url)];
			const sessions = [await first.openCheck()];
			await until(sessions, () => level(...sessions));
			for (const [n, tablet] of others.entries()) {
				const secret = await relay.invite(sessions[0]?.record ?? '', n === 0 ? 'pilot' : 'engineer');
				sessions.push(await tablet.join(secret, `crew ${n}`));
			}
			await until(sessions, () => level(...sessions) && sessions[0]?.entries.size === 4);
			const tablets = [first, ...others];
			for (const tablet of tablets) tablet.setOnline(false);
			for (let n = 0; n < EACH; n++) {
				await Promise.all(sessions.map((session, who) => remark(session, `away ${who} ${n}`)));
			}
			await Promise.all(sessions.map((session) => session.settled()));
			if (reload) {
				for (const [n, session] of sessions.entries()) {
					session.close();
					sessions[n] = await (tablets[n] as Tablet).open(session.record);
				}
			}
			const begun = performance.now();
			for (const tablet of tablets) tablet.setOnline(true);
			const all = 4 + 3 * EACH;
			await until(sessions, () => sessions.every((session) => session.entries.size === all), 60_000);
			const equalAfterMs = performance.now() - begun;
			await until(sessions, () => level(...sessions), 60_000);
			const storedAfterMs = performance.now() - begun;
			console.info(`${EACH} each, ${_how}: equal ${equalAfterMs.toFixed(0)} ms, stored ${storedAfterMs.toFixed(0)} ms`);
			const [a, b, c] = sessions.map((session) => canonicalJson([...session.entries.inOrder()]));
			expect(b).toBe(a);
			expect(c).toBe(a);
			expect(equalAfterMs).toBeLessThanOrEqual(5_000);
			expect(storedAfterMs).toBeLessThanOrEqual(10_000);
			for (const session of sessions) session.close();
		},
	);
});
