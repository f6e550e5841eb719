import { existsSync } from 'node:fs';
import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { fail, ok, type Result } from '@stillmast/core/result';
import { openSqliteStore, type Store } from '@stillmast/relay';

/** Where records are kept unless a flag or DATA says otherwise. */
export function dataFolder(flag: string | undefined, env: Readonly<Record<string, string | undefined>>): string {
	return resolve(flag ?? (env.DATA || 'data'));
}

const storeFile = (folder: string): string => join(folder, 'records.sqlite');
const inUseFile = (folder: string): string => join(folder, 'in-use');

/** Opens the store of a folder to read it; a folder without one is a problem, and nothing is made. */
export async function openFolderToRead(folder: string): Promise<Result<Store>> {
	if (!existsSync(storeFile(folder))) {
		return fail({
			code: 'no-records-there',
			found: folder,
			needed: 'a folder that `stillmast serve` keeps, named by --data',
		});
	}
	return openStore(folder);
}

export interface HeldFolder {
	readonly store: Store;
	/** Gives the folder free for others; the store is closed by whoever uses it. */
	readonly release: () => Promise<void>;
}

/**
 * Opens the store of a folder to write in it, and keeps others from doing the same meanwhile: what one program
 * acknowledges it knows from its own memory, so two on one store would each miss the other's entries.
 */
export async function holdFolder(folder: string): Promise<Result<HeldFolder>> {
	try {
		await mkdir(folder, { recursive: true });
		const taken = await takeHold(folder);
		if (!taken.ok) return taken;
	} catch (error) {
		return fail(unusable(folder, error));
	}
	const release = () => rm(inUseFile(folder), { force: true });
	const store = await openStore(folder);
	if (store.ok) return ok({ store: store.value, release });
	await release();
	return store;
}

async function openStore(folder: string): Promise<Result<Store>> {
	try {
		return ok(await openSqliteStore(storeFile(folder)));
	} catch (error) {
		return fail(unusable(folder, error));
	}
}

async function takeHold(folder: string): Promise<Result<void>> {
	const file = inUseFile(folder);
	// The second try is for a file that a killed program left behind.
	for (const lastTry of [false, true]) {
		try {
			await writeFile(file, String(process.pid), { flag: 'wx' });
			return ok(undefined);
		} catch (error) {
			if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
		}
		const holder = Number(await readFile(file, 'utf8'));
		if (lastTry || isRunning(holder)) {
			return fail({
				code: 'folder-in-use',
				found: `${folder}, by process ${holder}`,
				needed: `that one stopped (or, if it is something else, ${file} deleted)`,
			});
		}
		await rm(file, { force: true });
	}
	return ok(undefined);
}

/** Another running process; after a restart in a container one's own number may be the old holder's. */
function isRunning(pid: number): boolean {
	if (!Number.isInteger(pid) || pid <= 0 || pid === process.pid) return false;
	try {
		process.kill(pid, 0);
		return true;
	} catch (error) {
		return (error as NodeJS.ErrnoException).code === 'EPERM';
	}
}

function unusable(folder: string, error: unknown) {
	return {
		code: 'data-folder-unusable',
		found: `${folder} (${error instanceof Error ? error.message : String(error)})`,
		needed: 'a folder that this user may write, named by --data',
	};
}
