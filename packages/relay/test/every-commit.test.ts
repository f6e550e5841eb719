import { type ChildProcess, execFileSync, fork, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openSqliteStore } from '../src/store/sqlite/sqlite-store.js';
import { COMMITS, expectInFold, openDiarist, positions } from './commits.js';
import { openCheck, person } from './crew.js';

interface Started {
	readonly url: string;
	readonly publicKey: string;
	readonly pid: number;
}

const SCRIPT = fileURLToPath(new URL('./relay-child.mjs', import.meta.url));
/** Flushes of the thread before the first commit of a device: opening, tables, host key. Met by the first positions. */
const OPENING = 10;
const LAST = OPENING + COMMITS;

/**
 * The system itself is made to fail: the tracer lets the n-th flush of a thread report an error, or ends the process
 * within it. Nothing between the store and the disk is replaced.
 */
describe.skipIf(!canInject())('flushes that fail', () => {
	let place: string;
	let child: ChildProcess;
	let hostId: number | undefined;

	beforeEach(async () => {
		place = await mkdtemp(join(tmpdir(), 'stillmast-flush-'));
	});
	afterEach(async () => {
		for (const id of [hostId, child.pid]) if (id !== undefined && isRunning(id)) process.kill(id, 'SIGKILL');
		await rm(place, { recursive: true, force: true });
	});

	/** Null when the host ended before it could say that it had started. */
	async function start(fault: string | null): Promise<Started | null> {
		if (fault === null) child = fork(SCRIPT, [place, 'hasty'], { serialization: 'advanced' });
		else {
			const traced = ['-f', '-qq', '-e', 'trace=fsync,fdatasync', '-e', `inject=fsync,fdatasync:${fault}`];
			child = spawn('strace', [...traced, '-o', '/dev/null', process.execPath, SCRIPT, place, 'hasty'], {
				stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
				serialization: 'advanced',
			});
		}
		const started = await Promise.race([
			once(child, 'message').then(([message]) => message as Started),
			once(child, 'exit').then(() => null),
		]);
		hostId = started?.pid;
		return started;
	}

	async function end(): Promise<void> {
		const exited = child.exitCode === null && child.signalCode === null ? once(child, 'exit') : null;
		for (const id of [hostId, child.pid]) if (id !== undefined && isRunning(id)) process.kill(id, 'SIGKILL');
		await exited;
	}

	/** Founds the check at the host, however often its store fails meanwhile; false when the host itself is gone. */
	async function found(record: string, entries: readonly unknown[]): Promise<boolean> {
		for (let attempt = 0; attempt < 200; attempt++) {
			if (child.exitCode !== null || child.signalCode !== null) return false;
			child.send({ record, entries: [...entries] });
			const answer = await Promise.race([once(child, 'message'), once(child, 'exit').then(() => null)]);
			if (answer === null) return false;
			if ((answer[0] as { adopted: unknown }).adopted === null) return true;
			await new Promise((resolve) => setTimeout(resolve, 10));
		}
		throw new Error('the check could not be founded');
	}

	async function expectWholeStore(): Promise<void> {
		const store = await openSqliteStore(join(place, 'records.sqlite'));
		await store.close();
	}

	it.each(positions(LAST, 12))(
		`[RLY-11] [RLY-12] flush %i of every thread reports an error, ${COMMITS} commits: none acknowledged is missing in the fold`,
		async (n) => {
			const engineer = await person('engineer');
			const started = await start(`error=EIO:when=${n}`);
			if (!started) {
				// A host that could not open its store has promised nothing; the next start finds a sound file.
				await expectWholeStore();
				return;
			}
			const check = await openCheck(engineer, { host: started.publicKey });
			expect(await found(check.record, check.set.inOrder())).toBe(true);
			const diarist = await openDiarist(started.url, check, engineer);
			let failures = 0;
			for (let count = 0; count < COMMITS; count++) {
				if (await diarist.write()) continue;
				failures += 1;
				await diarist.comeBack(started.url);
			}
			expect(diarist.acknowledged).toHaveLength(COMMITS);
			if (n > OPENING && n < COMMITS) expect(failures).toBeGreaterThan(0);
			await expectInFold(started.url, check, engineer, diarist.acknowledged);
			await end();
			const again = await start(null);
			await expectInFold(again?.url ?? '', check, engineer, diarist.acknowledged);
		},
	);

	it.each(positions(LAST, 12))(
		`[RLY-11] the host is killed within flush %i of a run of ${COMMITS} commits: none acknowledged is missing in the fold`,
		async (n) => {
			const engineer = await person('engineer');
			const started = await start(`signal=KILL:when=${n}`);
			if (!started) {
				await expectWholeStore();
				return;
			}
			const check = await openCheck(engineer, { host: started.publicKey });
			if (!(await found(check.record, check.set.inOrder()))) {
				await expectWholeStore();
				return;
			}
			const diarist = await openDiarist(started.url, check, engineer);
			for (let count = 0; count < COMMITS; count++) if (!(await diarist.write())) break;
			if (n > OPENING && n < COMMITS) expect(diarist.acknowledged.length).toBeLessThan(COMMITS);
			await end();
			const again = await start(null);
			await expectInFold(again?.url ?? '', check, engineer, diarist.acknowledged);
			// What was not acknowledged is not lost either: the device sends it again.
			await diarist.comeBack(again?.url ?? '');
			await expectInFold(again?.url ?? '', check, engineer, diarist.written);
		},
	);
});

function isRunning(id: number): boolean {
	try {
		process.kill(id, 0);
		return true;
	} catch {
		return false;
	}
}

/** Is a strace here that may trace and make calls fail? Where not, these are skipped and counted as skipped. */
function canInject(): boolean {
	try {
		const args = ['-f', '-e', 'trace=fsync', '-e', 'inject=fsync:error=EIO:when=1', '-o', '/dev/null'];
		execFileSync('strace', [...args, process.execPath, '-e', '0'], { stdio: 'ignore' });
		return true;
	} catch {
		return false;
	}
}
