import type { Connection } from './database.js';

/** Grows by adding a step; a step that has gone out is never edited. */
const STEPS: readonly string[] = [
	`CREATE TABLE record (
		number INTEGER PRIMARY KEY AUTOINCREMENT,
		id TEXT NOT NULL UNIQUE,
		created_at_ms INTEGER NOT NULL
	) STRICT;
	CREATE TABLE transport (
		number INTEGER PRIMARY KEY AUTOINCREMENT,
		record TEXT NOT NULL REFERENCES record (id),
		at_ms INTEGER NOT NULL,
		bytes BLOB NOT NULL
	) STRICT;
	CREATE INDEX transport_by_record ON transport (record, number);
	CREATE TABLE entry (
		record TEXT NOT NULL REFERENCES record (id),
		hash TEXT NOT NULL,
		chain TEXT NOT NULL,
		seq INTEGER NOT NULL,
		prev TEXT,
		whole INTEGER NOT NULL,
		json BLOB NOT NULL,
		PRIMARY KEY (record, hash)
	) STRICT;
	CREATE INDEX entry_by_chain ON entry (record, chain, seq);
	CREATE TABLE head (
		record TEXT NOT NULL,
		chain TEXT NOT NULL,
		hash TEXT NOT NULL,
		seq INTEGER NOT NULL,
		PRIMARY KEY (record, chain, hash)
	) STRICT;
	CREATE TABLE person (
		record TEXT NOT NULL REFERENCES record (id),
		key TEXT NOT NULL,
		role TEXT NOT NULL,
		name TEXT NOT NULL,
		revoked INTEGER NOT NULL,
		PRIMARY KEY (record, key)
	) STRICT;
	CREATE INDEX person_by_key ON person (key);
	CREATE TABLE blob (
		record TEXT NOT NULL,
		hash TEXT NOT NULL,
		bytes BLOB NOT NULL,
		PRIMARY KEY (record, hash)
	) STRICT;
	CREATE TABLE invite (
		digest TEXT PRIMARY KEY,
		record TEXT NOT NULL REFERENCES record (id),
		role TEXT NOT NULL,
		created_at_ms INTEGER NOT NULL,
		expires_at_ms INTEGER NOT NULL,
		uses_left INTEGER NOT NULL,
		revoked INTEGER NOT NULL
	) STRICT;
	CREATE TABLE host_key (
		id INTEGER PRIMARY KEY CHECK (id = 1),
		public_key TEXT NOT NULL,
		secret BLOB NOT NULL
	) STRICT;`,
	// What follows from a row is done where the row is written: each statement called from outside costs more than this.
	`CREATE INDEX entry_not_whole ON entry (record) WHERE whole = 0;
	CREATE TRIGGER transport_founds_record BEFORE INSERT ON transport BEGIN
		INSERT INTO record (id, created_at_ms) VALUES (NEW.record, NEW.at_ms) ON CONFLICT DO NOTHING;
	END;
	CREATE TRIGGER entry_is_head AFTER INSERT ON entry WHEN NEW.whole = 1 BEGIN
		DELETE FROM head WHERE record = NEW.record AND chain = NEW.chain AND hash = NEW.prev;
		INSERT INTO head (record, chain, hash, seq) VALUES (NEW.record, NEW.chain, NEW.hash, NEW.seq);
	END;
	CREATE TRIGGER entry_becomes_head AFTER UPDATE OF whole ON entry WHEN NEW.whole = 1 AND OLD.whole = 0 BEGIN
		DELETE FROM head WHERE record = NEW.record AND chain = NEW.chain AND hash = NEW.prev;
		INSERT INTO head (record, chain, hash, seq) VALUES (NEW.record, NEW.chain, NEW.hash, NEW.seq);
	END;`,
];

/**
 * Brings a database to the newest shape. Refuses one that a newer version has written: an older program must not
 * write into a shape that it does not know.
 */
export function prepareSchema(connection: Connection): void {
	const version = Number(connection.all('PRAGMA user_version', [])[0]?.user_version ?? 0);
	if (version > STEPS.length) throw new Error(`the store was written by a newer version (${version})`);
	for (let step = version; step < STEPS.length; step++) {
		connection.commit(() => {
			connection.exec(STEPS[step] as string);
			connection.exec(`PRAGMA user_version = ${step + 1}`);
		});
	}
}
