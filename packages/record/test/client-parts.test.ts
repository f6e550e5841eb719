import type { Entry } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { guardUpdate } from '../src/carrier/index.js';
import { hostClock } from '../src/client/session/host-clock.js';
import { Lacking } from '../src/client/session/lacking.js';
import { outbox } from '../src/client/session/outbox.js';
import { Places } from '../src/client/session/places.js';
import { inBatches, Resend } from '../src/client/session/resend.js';
import { ChainWriter, EntrySet } from '../src/index.js';
import { decodeMessage, FRAME_BYTES_MAX } from '../src/wire/index.js';
import { virtualClock } from './client-world/clock.js';
import { penKey, smallRecord, writerOptions } from './client-world/crew.js';

describe('outbox(clock, socket)', () => {
	function socket() {
		const sent: Uint8Array[] = [];
		const state = { buffered: 0, open: true };
		const send = (frame: Uint8Array) => {
			if (!state.open) return false;
			sent.push(frame);
			state.buffered += frame.length;
			return true;
		};
		return { sent, state, port: { send, bufferedBytes: () => state.buffered } };
	}

	it('[DEV-11] holds frames back while the socket has 512 KiB unsent, then goes on in order', async () => {
		const clock = virtualClock();
		const { sent, state, port } = socket();
		const out = outbox(clock, port);
		out.push({ type: 'sync-update', update: new Uint8Array(2_000_000) });
		const first = sent.length;
		expect(sent.every((frame) => frame.length <= FRAME_BYTES_MAX)).toBe(true);
		expect(first).toBeLessThanOrEqual(9);
		out.push({ type: 'want', blobs: [] });
		for (let n = 0; n < 20 && !out.idle(); n++) {
			state.buffered = 0;
			await clock.pass(30);
		}
		expect(out.idle()).toBe(true);
		const messages = sent.map((frame) => decodeMessage(frame)).map((read) => (read.ok ? read.value : null));
		expect(messages.at(-1)).toEqual({ type: 'want', blobs: [] });
		const parts = messages.flatMap((message) => (message?.type === 'fragment' ? [message.index] : []));
		expect(parts).toEqual(parts.map((_, index) => index));
		expect(parts).toHaveLength(31);
	});

	it('[DEV-16] what may wait goes when nothing else does: an entry overtakes the blobs that are queued', async () => {
		const clock = virtualClock();
		const { sent, state, port } = socket();
		const out = outbox(clock, port);
		const blob = { type: 'blob', hash: 'A'.repeat(43), bytes: new Uint8Array(48 * 1024) } as const;
		for (let n = 0; n < 40; n++) out.pushLater(blob);
		const before = sent.length;
		expect(before).toBeLessThan(13);
		out.push({ type: 'want', blobs: [] });
		for (let n = 0; n < 20 && !out.idle(); n++) {
			state.buffered = 0;
			await clock.pass(30);
		}
		const types = sent.map((frame) => decodeMessage(frame)).map((read) => (read.ok ? read.value.type : ''));
		expect(types.filter((type) => type === 'blob')).toHaveLength(40);
		expect(types.indexOf('want')).toBeLessThanOrEqual(before + 1);
	});

	it('clear() drops what waits and leaves no timer; the next connection begins anew', async () => {
		const clock = virtualClock();
		const { sent, state, port } = socket();
		const out = outbox(clock, port);
		state.open = false;
		out.push({ type: 'want', blobs: [] });
		expect(out.idle()).toBe(false);
		out.clear();
		expect(clock.pending()).toBe(0);
		state.open = true;
		out.push({ type: 'have', blobs: [] });
		expect(sent).toHaveLength(1);
	});
});

describe('hostClock(clock)', () => {
	it('[DEV-8] prefers the quick answer, and lets a later slow one in only when the quick one has aged', async () => {
		const clock = virtualClock(1_000_000);
		const host = hostClock(clock);
		expect(host.reading()).toBeNull();
		const answer = async (wayMs: number, aheadMs: number) => {
			const { n } = host.ask();
			await clock.pass(wayMs / 2);
			const hostAtMs = clock.nowMs() + aheadMs;
			await clock.pass(wayMs / 2);
			host.hear(n, hostAtMs);
		};
		await answer(20, 500);
		await answer(400, 900);
		expect(host.reading()).toMatchObject({ offsetMs: 500, errorMs: 10 });
		// an hour on, drift may have made more of an error than the slow answer has
		await clock.pass(3_600_000);
		await answer(300, 700);
		expect(host.reading()).toMatchObject({ offsetMs: 700, errorMs: 150, ageS: 0 });
		host.hear(99, 0);
		expect(host.reading()?.offsetMs).toBe(700);
	});
});

describe('Lacking.next(count)', () => {
	it('[DEV-11] asks after 5 s, then less and less often, every third time anew; news make it patient again', async () => {
		const clock = virtualClock();
		const lacking = new Lacking(clock);
		lacking.begin();
		const asked: string[] = [];
		for (let second = 0; second < 130; second++) {
			await clock.pass(1_000);
			const next = lacking.next(3);
			if (next !== 'wait') asked.push(`${second + 1} ${next}`);
		}
		expect(asked).toEqual(['6 ask', '16 ask', '36 ask-anew', '76 ask']);
		expect(lacking.next(2)).toBe('wait');
		await clock.pass(5_000);
		expect(lacking.next(2)).toBe('ask');
		expect(lacking.next(0)).toBe('wait');
	});
});

describe('Places', () => {
	it('[DEV-10] a head acknowledges all that comes before it in its chain, also what only arrives later', async () => {
		const { set, entries } = await smallRecord(51, 4);
		const here = new EntrySet(set.record, entries.slice(0, 2));
		const places = new Places(here);
		const last = entries[4] as Entry;
		places.acknowledge([[last.chain, last.seq, last.hash]]);
		expect(places.lacking).toBe(1);
		expect(places.unstored.size).toBe(2);
		for (const entry of [...entries.slice(2)].reverse()) {
			here.add(entry);
			places.arrived(entry);
		}
		expect(places.lacking).toBe(0);
		expect(places.unstored.size).toBe(0);
		expect(places.acknowledged()).toEqual([[last.chain, last.seq, last.hash]]);
		places.forgetStored();
		expect(places.unstored.size).toBe(5);
		expect(places.acknowledged()).toEqual([]);
	});

	it('[DEV-10] a head of one branch of a forked chain says nothing of the other branch', async () => {
		const { set, entries, key } = await smallRecord(52, 1);
		const other = new EntrySet(set.record, entries.slice(0, 1));
		const twin = new ChainWriter(other, writerOptions(key, 77), entries[0]);
		const written = await twin.write('remark', { to: null, asks: false, text: 'the same seq, other words' });
		if (!written.ok) throw new Error(written.problem.code);
		set.add(written.value as unknown as Entry);
		const places = new Places(set);
		const known = entries[1] as Entry;
		places.acknowledge([[known.chain, known.seq, known.hash]]);
		expect(places.isStored(known.hash)).toBe(true);
		expect(places.isStored(written.value.hash)).toBe(false);
		expect(places.unstored.size).toBe(1);
	});

	it('[DEV-10] pens of this device and the writer’s own later entries are no other place', async () => {
		const { set, entries, key } = await smallRecord(53, 1);
		const mate = await penKey(54);
		const writer = new ChainWriter(set, writerOptions(mate, 55));
		await writer.write('remark', { to: null, asks: false, text: 'seen' });
		const places = new Places(set);
		const entry = entries[1] as Entry;
		expect(places.placeOf(entry, new Set([key.fingerprint])).alsoWith).toEqual([mate.fingerprint]);
		expect(places.placeOf(entry, new Set([key.fingerprint, mate.fingerprint])).alsoWith).toEqual([]);
	});
});

describe('Resend', () => {
	it('[DEV-12] batches hold at most 200 entries and 200 000 characters, in the order given', async () => {
		const { entries } = await smallRecord(56, 3);
		const many = Array.from({ length: 450 }, (_, n) => ({ ...(entries[1] as Entry), hash: `${n}` }));
		expect(inBatches(many).map((batch) => batch.length)).toEqual([200, 200, 50]);
		const long = many.map((entry) => ({ ...entry, text: 'x'.repeat(60_000) }));
		expect(inBatches(long.slice(0, 7)).map((batch) => batch.length)).toEqual([3, 3, 1]);
		expect(inBatches([])).toEqual([]);
	});

	it('[DEV-12] sends own entries after 5 s and those of others after 20 s, and stops when they are acknowledged', async () => {
		const clock = virtualClock();
		const { set, entries } = await smallRecord(57, 2);
		const resend = new Resend(clock);
		const unstored = new Set(entries.map((entry) => entry.hash));
		const own = entries[1] as Entry;
		const due = () =>
			resend
				.due(
					unstored,
					(hash) => set.get(hash),
					(entry) => entry === own,
				)
				.map((update) => {
					const guarded = guardUpdate(update, set.record);
					return guarded.ok ? guarded.value.entries.map((entry) => entries.indexOf(set.get(entry.hash) as Entry)) : [];
				});
		expect(due()).toEqual([]);
		await clock.pass(5_000);
		expect(due()).toEqual([[1]]);
		await clock.pass(4_900);
		expect(due()).toEqual([]);
		await clock.pass(10_100);
		expect(due()).toEqual([[1], [0, 2]]);
		unstored.clear();
		await clock.pass(60_000);
		expect(due()).toEqual([]);
	});
});
