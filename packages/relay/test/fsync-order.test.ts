import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openCheck, person, remark } from './crew.js';
import { RawClient } from './raw-client.js';

/** A kill alone proves nothing about flushing: the system keeps what a dead process wrote. The order of calls does. */
const ENTRIES = 200;

describe.skipIf(!canTrace())('system calls of a host that stores', () => {
	let place: string;
	let child: ChildProcess;
	let hostId: number | undefined;

	beforeEach(async () => {
		place = await mkdtemp(join(tmpdir(), 'stillmast-trace-'));
	});
	afterEach(async () => {
		// The tracer's end is not the end of what it traces.
		for (const id of [hostId, child.pid]) if (id !== undefined && isRunning(id)) process.kill(id, 'SIGKILL');
		await rm(place, { recursive: true, force: true });
	});

	it(`[RLY-4] between the write of an entry and its stored frame the log is flushed, ${ENTRIES} times`, {
		timeout: 120_000,
	}, async () => {
		const trace = join(place, 'calls');
		const watched = [
			'-f',
			'-y',
			'-s',
			'24',
			'-e',
			'trace=pwrite64,write,writev,sendto,sendmsg,fdatasync,fsync',
			'-o',
			trace,
		];
		const script = fileURLToPath(new URL('./relay-child.mjs', import.meta.url));
		child = spawn('strace', [...watched, process.execPath, script, place], {
			stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
			serialization: 'advanced',
		});
		const [{ url, publicKey, pid }] = (await once(child, 'message')) as [
			{ url: string; publicKey: string; pid: number },
		];
		hostId = pid;
		const engineer = await person('engineer');
		const check = await openCheck(engineer, { host: publicKey });
		child.send({ record: check.record, entries: [...check.set.inOrder()] });
		await once(child, 'message');
		const client = await RawClient.enter(url, check.record, engineer);
		await client.until((one) => one.received.some((message) => message.type === 'stored'), 'the heads on entering');
		for (let count = 0; count < ENTRIES; count++) {
			const entry = await remark(check.writer, `traced ${count}`);
			client.sendEntries(entry);
			await client.untilStored(entry);
		}
		child.send('stop');
		await once(child, 'exit');
		const proved = provedStored(await readFile(trace, 'latin1'));
		// The heads on entering were said without a write before them, and are not counted.
		expect(proved.withoutFlush).toEqual([]);
		expect(proved.withFlush).toBeGreaterThanOrEqual(ENTRIES);
	});
});

/**
 * Walks a trace in order: after a write to the log no stored frame may go out until the log was flushed to its end.
 * A stored frame is a binary WebSocket frame (0x82) whose message begins with 101 and one head. A head may be told
 * again, also while the next entry is being written: only the first telling of a head needs a flush behind it.
 */
function provedStored(trace: string): { withFlush: number; withoutFlush: string[] } {
	const LOG = /^\d+ +(pwrite64|write)\(\d+<[^>]*records\.sqlite-wal>/;
	const FLUSH = /^(\d+) +(fdatasync|fsync)\(\d+<[^>]*records\.sqlite-wal>(.*)$/;
	const FLUSH_RESUMED = /^(\d+) +<\.\.\. (fdatasync|fsync) resumed>.* = 0$/;
	const STORED =
		/^\d+ +(write|writev|sendto|sendmsg)\(.*"\\202.{1,4}".*"e\\1\\v|^\d+ +(write|sendto)\(.*"\\202.{1,4}e\\1\\v/;
	const flushing = new Set<string>();
	let written = false;
	let flushed = false;
	const withoutFlush: string[] = [];
	const told = new Set<string>();
	let withFlush = 0;
	for (const line of trace.split('\n')) {
		const flush = FLUSH.exec(line);
		const resumed = FLUSH_RESUMED.exec(line);
		if (LOG.test(line)) {
			written = true;
			flushed = false;
		} else if (flush) {
			if (flush[3]?.endsWith('= 0')) flushed = written;
			else flushing.add(flush[1] ?? '');
		} else if (resumed && flushing.delete(resumed[1] ?? '')) {
			flushed = written;
		} else if (STORED.test(line) && written) {
			// several frames may go out in one call
			for (const [, head = ''] of line.matchAll(/(e\\1\\v[^"]*)"\.\.\./g)) {
				if (told.has(head)) continue;
				told.add(head);
				if (!flushed) withoutFlush.push(line);
				else withFlush += 1;
			}
		}
	}
	return { withFlush, withoutFlush };
}

function isRunning(id: number): boolean {
	try {
		process.kill(id, 0);
		return true;
	} catch {
		return false;
	}
}

/** Is strace here, and may it trace? Where not, the proof is skipped and counted as skipped. */
function canTrace(): boolean {
	try {
		execFileSync('strace', ['-o', '/dev/null', process.execPath, '-e', '0'], { stdio: 'ignore' });
		return true;
	} catch {
		return false;
	}
}
