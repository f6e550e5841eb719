import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { readAtRest } from '../src/client/index.js';
import { memoryStore } from '../src/client/memory/index.js';
import { promptCrypto } from './client-world/crypto.js';
import { remark, world } from './client-world/tablets.js';

describe('readAtRest(store, record)', () => {
	beforeEach(() => void vi.stubGlobal('crypto', promptCrypto()));
	afterEach(() => void vi.unstubAllGlobals());

	it('folds what the disk has to the state that a session on it shows', async () => {
		const { clock, tablet } = await world();
		const a = await tablet();
		const session = await a.open(memoryStore(a.disk));
		const entry = await remark(session, 'kept');
		await clock.pass(200);
		const { state } = await readAtRest(memoryStore(a.disk), session.record);
		expect(state.judged.has(entry.hash)).toBe(true);
		expect(state.opened?.hash).toBe(session.state.opened?.hash);
		expect([...state.judged.keys()].sort()).toEqual([...session.state.judged.keys()].sort());
		session.close();
	});

	it('answers with an empty state for a record that is not on this device', async () => {
		const { state, blob } = await readAtRest(memoryStore(), 'A'.repeat(43));
		expect(state.opened).toBeNull();
		expect(await blob('B'.repeat(43))).toBeNull();
	});
});
