import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { encodeMessage, type WireMessage } from '@stillmast/record/wire';
import * as encoding from 'lib0/encoding';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { enrol, type Opened, openCheck, type Person, person, remark } from './crew.js';
import { RawClient } from './raw-client.js';

const ROUNDS = 40;
const MB = 1024 * 1024;

function bytesOf(write: (out: encoding.Encoder) => void): Uint8Array {
	const out = encoding.createEncoder();
	write(out);
	return encoding.toUint8Array(out);
}

const HUGE = 2 ** 31 - 1;
const update = (bytes: Uint8Array): WireMessage => ({ type: 'sync-update', update: bytes });

/** One client's structs in a V1 update, as Yjs 13 writes them. */
function structs(count: number, write: (out: encoding.Encoder) => void): Uint8Array {
	return bytesOf((out) => {
		encoding.writeVarUint(out, 1);
		encoding.writeVarUint(out, count);
		encoding.writeVarUint(out, 7);
		encoding.writeVarUint(out, 0);
		write(out);
		encoding.writeVarUint(out, 0);
	});
}

/** An item under the root map with nested content: 0x28 = key follows, content "any". */
function nested(depth: number): Uint8Array {
	return structs(1, (out) => {
		encoding.writeUint8(out, 0x28);
		encoding.writeVarUint(out, 1);
		encoding.writeVarString(out, 'entries');
		encoding.writeVarString(out, 'k');
		encoding.writeVarUint(out, 1);
		// 117 = array of one, as lib0 writes it
		for (let level = 0; level < depth; level++) {
			encoding.writeUint8(out, 117);
			encoding.writeVarUint(out, 1);
		}
		encoding.writeUint8(out, 126);
	});
}

/** Messages that claim or unfold to more than they are. Every one is well below the size of a frame. */
const bombs: readonly (readonly [name: string, message: WireMessage])[] = [
	['an update of two thousand million clients', update(bytesOf((out) => encoding.writeVarUint(out, HUGE)))],
	['an update of two thousand million structs', update(structs(HUGE, () => undefined))],
	[
		'a struct that skips two thousand million places',
		update(
			structs(1, (out) => {
				encoding.writeUint8(out, 10);
				encoding.writeVarUint(out, HUGE);
			}),
		),
	],
	[
		'a deletion of two thousand million places',
		update(
			bytesOf((out) => {
				encoding.writeVarUint(out, 0);
				encoding.writeVarUint(out, 1);
				for (const n of [7, 1, 0, HUGE]) encoding.writeVarUint(out, n);
			}),
		),
	],
	['lists in lists, thirty thousand deep', update(nested(30_000))],
	[
		'a state vector of two thousand million clients',
		{ type: 'sync-step-1', stateVector: bytesOf((out) => encoding.writeVarUint(out, HUGE)) },
	],
	[
		'a first fragment of a message of 16 MiB',
		{ type: 'fragment', id: 1_000_000, index: 0, count: 300, bytes: new Uint8Array(60_000) },
	],
	[
		'presence of two thousand million people',
		{ type: 'awareness', update: bytesOf((out) => encoding.writeVarUint(out, HUGE)) },
	],
	[
		'presence of lists in lists',
		{
			type: 'awareness',
			update: bytesOf((out) => {
				for (const n of [1, 5, 1]) encoding.writeVarUint(out, n);
				encoding.writeVarString(out, `${'['.repeat(2_000)}${']'.repeat(2_000)}`);
			}),
		},
	],
	[
		'the same blob wanted a thousand times',
		{ type: 'want', blobs: Array.from({ length: 1_000 }, () => 'A'.repeat(43)) },
	],
];

/** In a process of its own, whose memory is the host's and nobody else's. */
describe('a host under bombs', () => {
	let place: string;
	let child: ChildProcess;
	let url: string;
	let check: Opened;
	let engineer: Person;
	let attacker: Person;

	beforeAll(async () => {
		place = await mkdtemp(join(tmpdir(), 'stillmast-bombs-'));
		child = fork(fileURLToPath(new URL('./relay-child.mjs', import.meta.url)), [place], { serialization: 'advanced' });
		const [started] = (await once(child, 'message')) as [{ url: string; publicKey: string }];
		({ url } = started);
		[engineer, attacker] = [await person('engineer'), await person('attacker')];
		check = await openCheck(engineer, { host: started.publicKey });
		await enrol(check, attacker, 'pilot');
		child.send({ record: check.record, entries: [...check.set.inOrder()] });
		await once(child, 'message');
	});
	afterAll(async () => {
		const ended = once(child, 'exit');
		child.kill('SIGKILL');
		await ended;
		await rm(place, { recursive: true, force: true });
	});

	async function memoryMb(): Promise<number> {
		const text = await (await fetch(`${url}/metrics`)).text();
		return Number(/^stillmast_memory_bytes (\d+)$/m.exec(text)?.[1]) / MB;
	}

	it(`[RLY-28] ${bombs.length} kinds, ${ROUNDS} times: less than 50 MB, content unchanged, and another device is stored meanwhile`, async () => {
		const writer = await RawClient.enter(url, check.record, engineer);
		// What the first answers need, guard thread included, is not the bombs' doing.
		const warm = await remark(check.writer, 'before');
		writer.sendEntries(warm);
		await writer.untilStored(warm);
		let bomber = await RawClient.enter(url, check.record, attacker);
		const before = await memoryMb();
		let most = before;
		let slowestMs = 0;
		for (let round = 0; round < ROUNDS; round++) {
			for (const [, bomb] of bombs) {
				if (bomber.closed) bomber = await RawClient.enter(url, check.record, attacker);
				bomber.sendFrame(encodeMessage(bomb));
			}
			const entry = await remark(check.writer, `round ${round}`);
			const sentMs = performance.now();
			writer.sendEntries(entry);
			await writer.untilStored(entry);
			slowestMs = Math.max(slowestMs, performance.now() - sentMs);
			most = Math.max(most, await memoryMb());
		}
		expect(most - before).toBeLessThan(50);
		// A guard that is held up for as long as it may be would take longer than this; a busy machine does not.
		expect(slowestMs).toBeLessThan(5_000);
		const reader = await RawClient.enter(url, check.record, engineer);
		reader.sync();
		await reader.until((one) => one.hashes().size >= check.set.size, 'the record');
		expect(reader.hashes().size).toBe(check.set.size);
	});

	it.each(bombs)('[RLY-28] %s: answered or refused, and the host goes on', async (_, bomb) => {
		const bomber = await RawClient.enter(url, check.record, attacker);
		bomber.sendFrame(encodeMessage(bomb));
		bomber.send({ type: 'ping', n: 7, at: 0 });
		await bomber.until((one) => one.closed !== null || one.received.some(({ type }) => type === 'pong'), 'an answer');
		if (bomber.closed) expect([4413, 4422]).toContain(bomber.closed.code);
		expect((await fetch(`${url}/health`)).status).toBe(200);
	});

	it('[RLY-28] presence said under ten thousand names by one connection is one presence', async () => {
		const bomber = await RawClient.enter(url, check.record, attacker);
		const before = await memoryMb();
		for (let client = 1; client <= 10_000; client++) {
			const state = bytesOf((out) => {
				for (const n of [1, client, 1]) encoding.writeVarUint(out, n);
				encoding.writeVarString(out, JSON.stringify({ at: 'x'.repeat(200) }));
			});
			bomber.sendFrame(encodeMessage({ type: 'awareness', update: state }));
		}
		await bomber.until((one) => one.received.some(({ type }) => type === 'awareness'), 'its own presence');
		const other = await RawClient.enter(url, check.record, engineer);
		await other.until((one) => one.received.some(({ type }) => type === 'awareness'), 'who is here');
		await other.settled();
		const told = other.received.flatMap((message) => (message.type === 'awareness' ? [message.update] : []));
		expect(told.filter((bytes) => Buffer.from(bytes).includes('xxxx')).map(([count]) => count)).toEqual([1]);
		expect((await memoryMb()) - before).toBeLessThan(50);
	});
});
