import Database from 'libsql';
import { checkedBinding } from './binding.js';

/** How long a statement waits for another connection (a backup, a reading tool) before it fails. */
const BUSY_TIMEOUT_MS = 5_000;

type Row = Readonly<Record<string, unknown>>;

/** One connection. Statements are prepared once; every parameter is checked before it is bound. */
export interface Connection {
	run(sql: string, values: readonly unknown[]): number;
	all(sql: string, values: readonly unknown[]): Row[];
	/** Runs `work` in one transaction: kept whole and flushed, or rolled back and thrown on. */
	commit<T>(work: () => T): T;
	exec(sql: string): void;
	close(): void;
}

/**
 * Opens a database file for writing, or with `readOnly` for looking only.
 * Write-ahead log and synchronous=FULL: a commit is in the log and flushed before it returns.
 */
export function openConnection(path: string, options: { readonly readOnly?: boolean } = {}): Connection {
	// The library ignores `readonly`; only the address form works.
	const database = new Database(options.readOnly ? `file:${path}?mode=ro` : path, { timeout: BUSY_TIMEOUT_MS });
	const statements = new Map<string, ReturnType<typeof database.prepare>>();

	function prepared(sql: string) {
		let statement = statements.get(sql);
		if (!statement) {
			statement = database.prepare(sql);
			statements.set(sql, statement);
		}
		return statement;
	}

	if (!options.readOnly) {
		database.pragma('journal_mode = WAL');
		database.pragma('synchronous = FULL');
		database.pragma('foreign_keys = ON');
	}

	return {
		run: (sql, values) => prepared(sql).run(checkedBinding(sql, values)).changes,
		all: (sql, values) => prepared(sql).all(checkedBinding(sql, values)) as Row[],
		commit(work) {
			database.exec('BEGIN IMMEDIATE');
			try {
				const result = work();
				database.exec('COMMIT');
				return result;
			} catch (error) {
				// A full disk may have ended the transaction already; a second ROLLBACK would hide the reason.
				if (database.inTransaction) database.exec('ROLLBACK');
				throw error;
			}
		},
		exec: (sql) => {
			database.exec(sql);
		},
		close() {
			statements.clear();
			database.close();
		},
	};
}
