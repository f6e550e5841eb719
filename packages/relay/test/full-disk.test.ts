import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { systemClock } from '../src/ports.js';
import { openConnection } from '../src/store/sqlite/database.js';
import { expectInFold, openDiarist } from './commits.js';
import { openCrew, openHangar } from './hangar.js';
import { until } from './in-process.js';

/** Small enough to be filled at once, large enough for an empty store and its log. */
const DISK_KIB = 2_048;

/** A small file system of its own, really full: no call of the store or the system is replaced. */
describe.skipIf(!canMount())('a disk without room', () => {
	let disk: string;
	beforeEach(() => {
		disk = mount();
	});
	afterEach(() => unmount(disk));

	const freeKiB = () => {
		const { bavail, bsize } = statfsSync(disk);
		return (bavail * bsize) / 1_024;
	};
	const filler = () => join(disk, 'filler');

	it.each([0, 4, 8, 12, 16, 24, 40])(
		'[RLY-12] with %i KiB left: a write that finds no room is not acknowledged and leaves no half, health says so, and all goes on once there is room',
		async (leftKiB) => {
			let leapMs = 0;
			const clock = { ...systemClock, monotonicMs: () => systemClock.monotonicMs() + leapMs };
			const hangar = await openHangar({ dataDir: disk, clock });
			const { check, engineer } = await openCrew(hangar);
			const health = async () => {
				const answer = await fetch(`${hangar.url}/health`);
				return { status: answer.status, code: ((await answer.json()) as { code?: string }).code };
			};
			const diarist = await openDiarist(hangar.url, check, engineer);
			for (let count = 0; count < 5; count++) expect(await diarist.write()).toBe(true);
			expect(await health()).toEqual({ status: 200, code: undefined });

			writeFileSync(filler(), Buffer.alloc(Math.max(0, freeKiB() - leftKiB) * 1_024));
			for (let count = 0; count < 60 && (await diarist.write()); count++);
			const stored = diarist.acknowledged.length;
			expect(diarist.written).toHaveLength(stored + 1);
			await until(async () => (await health()).status === 503, 'health to say so');
			expect((await health()).code).toBe('disk-full');
			expect(hangar.log).toContainEqual(
				expect.objectContaining({ level: 'error', event: 'store-failed', trouble: 'disk-full' }),
			);

			rmSync(filler());
			// Whoever came back meanwhile may have met the third failure within a minute.
			leapMs = 61_000;
			await diarist.comeBack(hangar.url);
			for (let count = 0; count < 5; count++) expect(await diarist.write()).toBe(true);
			expect(await health()).toEqual({ status: 200, code: undefined });
			await expectInFold(hangar.url, check, engineer, diarist.written);
			await hangar.close();

			const file = openConnection(join(disk, 'records.sqlite'), { readOnly: true });
			expect(file.all('PRAGMA integrity_check', []).map((row) => row.integrity_check)).toEqual(['ok']);
			const halves = 'SELECT hash FROM entry WHERE whole = 0 OR record NOT IN (SELECT record FROM transport)';
			expect(file.all(halves, [])).toEqual([]);
			file.close();
		},
	);

	it('[RLY-63] a host whose disk is full stops as it should, and what was stored is there when it starts again', async () => {
		const hangar = await openHangar({ dataDir: disk });
		const { check, engineer } = await openCrew(hangar);
		const diarist = await openDiarist(hangar.url, check, engineer);
		for (let count = 0; count < 5; count++) expect(await diarist.write()).toBe(true);
		writeFileSync(filler(), Buffer.alloc(freeKiB() * 1_024));
		while (await diarist.write());
		await hangar.relay.stop();
		rmSync(filler());
		const again = await openHangar({ dataDir: disk });
		await expectInFold(again.url, check, engineer, diarist.acknowledged);
		await again.close();
		await hangar.close();
	});
});

function mount(): string {
	const place = mkdtempSync(join(tmpdir(), 'stillmast-full-'));
	execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${DISK_KIB}k`, 'tmpfs', place], { stdio: 'ignore' });
	return place;
}

function unmount(place: string): void {
	// Lazily: a thread that has just let go of its files may still be on its way out.
	execFileSync('umount', ['-l', place], { stdio: 'ignore' });
	rmSync(place, { recursive: true, force: true });
}

/** May a file system be mounted here? Where not, these are skipped and counted as skipped. */
function canMount(): boolean {
	try {
		unmount(mount());
		return true;
	} catch {
		return false;
	}
}
