/** `disk-full`: goes on by itself once there is room · `store-failed`: anything else that keeps a write from being kept */
export type StoreTrouble = 'disk-full' | 'store-failed';

/** Codes by which SQLite, PostgreSQL (SQLSTATE) and the system say that no room is left. */
const NO_ROOM: readonly unknown[] = ['SQLITE_FULL', '53100', 'ENOSPC'];

/** Why a write failed, as far as an operator can do something about it. */
export function troubleOf(error: unknown): StoreTrouble {
	const code = error instanceof Error && 'code' in error ? error.code : undefined;
	return NO_ROOM.includes(code) ? 'disk-full' : 'store-failed';
}
