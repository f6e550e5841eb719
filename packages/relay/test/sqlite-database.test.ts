import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkedBinding, placeholderCount } from '../src/store/sqlite/binding.js';
import { type Connection, openConnection } from '../src/store/sqlite/database.js';
import { prepareSchema } from '../src/store/sqlite/schema.js';
import { openSqliteStore } from '../src/store/sqlite/sqlite-store.js';

describe('checkedBinding(sql, values)', () => {
	const one = 'SELECT ?';

	it('[RLY-5] lets text, finite numbers, whole big numbers, null and Buffers through', () => {
		const values = ['x', 1.5, 2n, null, Buffer.from([0])];
		expect(checkedBinding('VALUES (?, ?, ?, ?, ?)', values)).toEqual(values);
	});

	// Each of these ends the process or falls silently inside libsql 0.5.29 (measured: exit 134).
	it.each([
		['a boolean', [true]],
		['undefined', [undefined]],
		['a plain object', [{ a: 1 }]],
		['a Uint8Array that is no Buffer', [new Uint8Array([1])]],
		['an ArrayBuffer', [new ArrayBuffer(1)]],
		['NaN', [Number.NaN]],
		['infinity', [Number.POSITIVE_INFINITY]],
		['text with a NUL', ['a\0b']],
		['a nested array', [['a']]],
	])('[RLY-5] throws on %s before the native library sees it', (_, values) => {
		expect(() => checkedBinding(one, values)).toThrow(TypeError);
	});

	it('[RLY-5] throws on too few, too many, or parameters that are no array', () => {
		expect(() => checkedBinding(one, [])).toThrow(TypeError);
		expect(() => checkedBinding(one, ['a', 'b'])).toThrow(TypeError);
		expect(() => checkedBinding(one, Buffer.from([1]) as unknown as unknown[])).toThrow(TypeError);
		expect(placeholderCount('INSERT INTO t VALUES (?, ?)')).toBe(2);
	});
});

describe('openConnection(path)', () => {
	let place: string;
	let path: string;
	let db: Connection;

	beforeEach(async () => {
		place = await mkdtemp(join(tmpdir(), 'stillmast-database-'));
		path = join(place, 'records.sqlite');
		db = openConnection(path);
		prepareSchema(db);
	});
	afterEach(async () => {
		db.close();
		await rm(place, { recursive: true, force: true });
	});

	const addRecord = (id: string) => db.run('INSERT INTO record (id, created_at_ms) VALUES (?, ?)', [id, 1]);
	const ids = () => db.all('SELECT id FROM record ORDER BY number', []).map((row) => row.id);

	it('[RLY-4] writes ahead and flushes every commit', () => {
		expect(db.all('PRAGMA journal_mode', [])[0]).toMatchObject({ journal_mode: 'wal' });
		// 2 is FULL in SQLite's own numbering.
		expect(db.all('PRAGMA synchronous', [])[0]).toMatchObject({ synchronous: 2 });
	});

	it('[RLY-5] keeps zero bytes in a BLOB column', () => {
		addRecord('r');
		const evidence = Buffer.from([0, 1, 0, 0, 255]);
		db.run('INSERT INTO transport (record, at_ms, bytes) VALUES (?, ?, ?)', ['r', 1, evidence]);
		const row = db.all('SELECT bytes FROM transport', [])[0];
		expect([...new Uint8Array(row?.bytes as ArrayBuffer)]).toEqual([0, 1, 0, 0, 255]);
	});

	it('[RLY-5] gives whole numbers back as whole numbers up to a millisecond clock', () => {
		db.run('INSERT INTO record (id, created_at_ms) VALUES (?, ?)', ['r', 4_102_444_800_123]);
		expect(db.all('SELECT created_at_ms, typeof(created_at_ms) AS type FROM record', [])[0]).toMatchObject({
			created_at_ms: 4_102_444_800_123,
			type: 'integer',
		});
	});

	it('[RLY-5] refuses a number with a fraction in an INTEGER column', () => {
		expect(() => db.run('INSERT INTO record (id, created_at_ms) VALUES (?, ?)', ['r', 1.5])).toThrow();
	});

	it('[RLY-4] commit(work) rolls everything back when the work throws', () => {
		expect(() =>
			db.commit(() => {
				addRecord('r');
				throw new Error('halfway');
			}),
		).toThrow('halfway');
		expect(ids()).toEqual([]);
		db.commit(() => addRecord('s'));
		expect(ids()).toEqual(['s']);
	});

	it('[RLY-5] commit(work) names a full disk instead of hiding it behind the roll back', () => {
		const pages = Number(db.all('PRAGMA page_count', [])[0]?.page_count);
		db.all(`PRAGMA max_page_count = ${pages + 2}`, []);
		addRecord('r');
		const large = Buffer.alloc(100_000, 1);
		const attempt = () =>
			db.commit(() => db.run('INSERT INTO transport (record, at_ms, bytes) VALUES (?, ?, ?)', ['r', 1, large]));
		expect(attempt).toThrow(/full/i);
		expect(db.all('SELECT count(*) AS n FROM transport', [])[0]).toMatchObject({ n: 0 });
		db.commit(() => addRecord('s'));
		expect(ids()).toEqual(['r', 's']);
	});

	it('[RLY-5] opened for reading only refuses to write', () => {
		addRecord('r');
		const reader = openConnection(path, { readOnly: true });
		expect(reader.all('SELECT id FROM record', [])).toHaveLength(1);
		expect(() => reader.run('DELETE FROM record', [])).toThrow(/readonly/i);
		reader.close();
	});

	it('[RLY-5] waits for another connection that is writing instead of failing at once', async () => {
		const { Worker } = await import('node:worker_threads');
		const holder = new Worker(
			`const { workerData, parentPort } = require('node:worker_threads');
			const Database = require('libsql');
			const other = new Database(workerData);
			other.exec('BEGIN IMMEDIATE');
			parentPort.postMessage('held');
			setTimeout(() => { other.exec('COMMIT'); other.close(); }, 300);`,
			{ eval: true, workerData: path },
		);
		await new Promise((resolve) => holder.once('message', resolve));
		const startedMs = performance.now();
		addRecord('r');
		expect(performance.now() - startedMs).toBeGreaterThan(100);
		expect(ids()).toEqual(['r']);
	});

	it('prepareSchema(connection) refuses a store written by a newer version', () => {
		db.exec('PRAGMA user_version = 99');
		expect(() => prepareSchema(db)).toThrow(/newer version/);
	});
});

describe('openSqliteStore(path)', () => {
	it('rejects when the file cannot be opened', async () => {
		await expect(openSqliteStore('/nowhere/at/all/records.sqlite')).rejects.toThrow();
	});

	it('rejects every call after it was closed', async () => {
		const place = await mkdtemp(join(tmpdir(), 'stillmast-closed-'));
		const store = await openSqliteStore(join(place, 'records.sqlite'));
		await store.close();
		await expect(store.records()).rejects.toThrow(/closed/);
		await rm(place, { recursive: true, force: true });
	});
});
