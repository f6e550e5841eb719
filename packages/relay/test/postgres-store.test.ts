import { connect, createServer } from 'node:net';
import type { Entry } from '@stillmast/formats/entry';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { openPostgresStore } from '../src/store/postgres/postgres-store.js';
import { openSqliteStore } from '../src/store/sqlite/sqlite-store.js';
import type { Store } from '../src/store/store.js';
import { COMMITS, expectInFold, openDiarist, positions } from './commits.js';
import { mustWrite, type Person, person, remark, writerOf } from './crew.js';
import { type Crew, type Hangar, openCrew, openHangar } from './hangar.js';
import { until } from './in-process.js';
import { type Cluster, postgresFolder, startCluster } from './postgres-cluster.js';
import { askTicket, post, RawClient } from './raw-client.js';
import { describeStoreContract } from './store-contract.js';

const folder = postgresFolder();
let cluster: Cluster;
/** The database that belongs to a test's folder, so that opening again finds it. */
const databases = new Map<string, Promise<string>>();

describe.skipIf(folder === null)('[RLY-1] [RLY-2] [RLY-3] [RLY-6] with a PostgreSQL server', () => {
	beforeAll(async () => {
		cluster = await startCluster(folder as string);
	}, 120_000);
	afterAll(() => cluster?.stop());

	describeStoreContract({
		name: 'openPostgresStore(url)',
		async open(place) {
			const database = databases.get(place) ?? cluster.database();
			databases.set(place, database);
			return openPostgresStore(await database);
		},
		openCopy: (path) => openSqliteStore(path),
	});

	it('[RLY-7] every query is the store’s own: one of the driver’s could fail unheard and end the process', async () => {
		const database = new URL(await cluster.database());
		const port = Number(database.port);
		let sent = '';
		const between = createServer((near) => {
			const far = connect(port, database.hostname);
			near.on('data', (bytes) => {
				sent += bytes.toString('latin1');
			});
			near.pipe(far).pipe(near);
			near.on('error', () => far.destroy());
			far.on('error', () => near.destroy());
		});
		database.port = await new Promise<string>((resolve) => {
			between.listen(0, '127.0.0.1', () => resolve(String((between.address() as { port: number }).port)));
		});
		const store = await openPostgresStore(database.href);
		await store.records();
		await store.close();
		between.close();
		expect(sent).toContain('SELECT id FROM record');
		expect(sent).not.toContain('pg_catalog');
	});

	it.each(positions(COMMITS, 13))(
		`[RLY-11] [RLY-12] the server stops as in a power cut at commit %i of ${COMMITS}: none acknowledged is missing in the fold`,
		async (n) => {
			const database = await cluster.database();
			const store = await openPostgresStore(database);
			let appends = 0;
			let cut: Promise<void> | null = null;
			const hangar = await openHangar({
				store: {
					...store,
					append(write) {
						appends += 1;
						// The founding is the first; the cut falls at a place of its own within every commit.
						if (appends === n + 1) {
							cut = new Promise((resolve) => setTimeout(resolve, n % 4)).then(() => cluster.crash());
						}
						return store.append(write);
					},
				},
			});
			const { check, engineer } = await openCrew(hangar);
			const diarist = await openDiarist(hangar.url, check, engineer);
			for (let count = 1; count <= COMMITS; count++) {
				const stored = await diarist.write();
				if (cut) await cut;
				if (!stored) await diarist.comeBack(hangar.url);
			}
			expect(cut).not.toBeNull();
			expect(diarist.acknowledged).toHaveLength(COMMITS);
			await expectInFold(hangar.url, check, engineer, diarist.acknowledged);
			await hangar.restart({ store: await openPostgresStore(database) });
			await expectInFold(hangar.url, check, engineer, diarist.acknowledged);
			await hangar.close();
		},
	);

	describe('two relays on one database', () => {
		let url: string;
		let stores: Store[];
		let hangars: Hangar[];
		let crew: Crew;

		beforeEach(async () => {
			url = await cluster.database();
			stores = [await openPostgresStore(url), await openPostgresStore(url)];
			hangars = [];
			for (const store of stores) hangars.push(await openHangar({ store }));
			crew = await openCrew(hangars[0] as Hangar);
		});
		afterEach(async () => {
			for (const hangar of hangars) await hangar.close();
		});

		const enter = (index: number, who: Person) =>
			RawClient.enter((hangars[index] as Hangar).url, crew.check.record, who);

		it('[RLY-7] share one host key, and what is written at one is seen, stored and counted at the other', async () => {
			expect(hangars[0]?.relay.publicKey).toBe(hangars[1]?.relay.publicKey);
			const a = await enter(0, crew.engineer);
			const b = await enter(1, crew.pilot);
			const fromA = await remark(crew.check.writer, 'written at one');
			const fromB = await remark(writerOf(crew.check, crew.pilot), 'written at the other');
			a.sendEntries(fromA);
			b.sendEntries(fromB);
			await Promise.all([b.untilShows(fromA), b.untilStored(fromA), a.untilShows(fromB), a.untilStored(fromB)]);
		});

		it('[RLY-7] what was written at one before the other began to listen is seen there too', async () => {
			const late = await openPostgresStore(url);
			let begin = () => {};
			const begun = new Promise<void>((resolve) => {
				begin = resolve;
			});
			const listenElsewhere: Store['listenElsewhere'] = async (listener) => {
				await begun;
				await late.listenElsewhere?.(listener);
			};
			const hangar = await openHangar({ store: { ...late, listenElsewhere } });
			hangars.push(hangar);
			const a = await enter(0, crew.engineer);
			const b = await enter(hangars.length - 1, crew.pilot);
			const early = await remark(crew.check.writer, 'nobody listens at the other yet');
			a.sendEntries(early);
			await a.untilStored(early);
			begin();
			await b.untilShows(early);
			await b.untilStored(early);
		});

		it('[RLY-8] presence and drafts stay at the relay where they come in, while entries go over', async () => {
			const a = await enter(0, crew.engineer);
			const same = await enter(0, crew.pilot);
			const other = await enter(1, crew.reviewer);
			const state = Buffer.from(JSON.stringify({ at: 'step 3' }));
			a.send({ type: 'awareness', update: Uint8Array.from([1, 7, 1, state.length, ...state]) });
			a.send({ type: 'draft', subject: 'summary', update: Uint8Array.from([9, 9, 9]) });
			const heard = (client: RawClient, type: string) => client.received.some((message) => message.type === type);
			await same.until((one) => heard(one, 'awareness') && heard(one, 'draft'), 'presence and draft');
			const entry = await remark(crew.check.writer, 'an entry goes over');
			a.sendEntries(entry);
			await other.untilShows(entry);
			await other.settled();
			expect([heard(other, 'awareness'), heard(other, 'draft')]).toEqual([false, false]);
		});

		it('[RLY-7] 200 writes from both sides at once end in the same record', async () => {
			const a = await enter(0, crew.engineer);
			const b = await enter(1, crew.pilot);
			const pilot = writerOf(crew.check, crew.pilot);
			const last: Entry[] = [];
			for (let count = 0; count < 100; count++) {
				const pair = [await remark(crew.check.writer, `a ${count}`), await remark(pilot, `b ${count}`)] as const;
				a.sendEntries(pair[0]);
				b.sendEntries(pair[1]);
				last.splice(0, 2, ...pair);
			}
			for (const client of [a, b]) for (const entry of last) await client.untilStored(entry);
			for (const index of [0, 1]) {
				const fresh = await enter(index, crew.reviewer);
				fresh.sync();
				await fresh.until((one) => one.hashes().size === crew.check.set.size, 'the whole record');
			}
		});

		it('[RLY-7] whoever joins at one may enter at the other, and a revocation closes sockets at both', async () => {
			const { secret } = await (hangars[0] as Hangar).relay.createInvite(crew.check.record, 'support', 1, 1);
			const a = await enter(0, crew.engineer);
			const b = await enter(1, crew.pilot);
			const guest = await person('guest');
			const joined = await post((hangars[1] as Hangar).url, '/api/join', {
				secret,
				name: guest.name,
				publicKey: guest.key.publicKey,
			});
			expect(joined.status).toBe(200);
			await until(
				async () => (await askTicket((hangars[0] as Hangar).url, crew.check.record, guest)).status === 200,
				'the enrolment',
			);
			a.sendEntries(
				await mustWrite(crew.check.writer, 'revoked', { key: crew.pilot.key.fingerprint, heads: [], reason: 'lost' }),
			);
			await b.untilClosed();
			expect(b.closed?.code).toBe(4401);
		});

		it('[RLY-7] the server stops as in a power cut: nothing acknowledged is lost, and both relays go on', async () => {
			const a = await enter(0, crew.engineer);
			const entries: Entry[] = [];
			for (let count = 0; count < 40; count++) {
				const entry = await remark(crew.check.writer, `before the cut ${count}`);
				entries.push(entry);
				a.sendEntries(entry);
				if (count === 20) await a.untilStored(entry);
			}
			await cluster.crash();
			const acknowledged = entries.filter((entry) => a.hasStored(entry));
			expect(acknowledged.length).toBeGreaterThan(20);
			await until(async () => (await enter(1, crew.pilot).catch(() => null)) !== null, 'the other relay', 30_000);
			const b = await enter(1, crew.pilot);
			b.sync();
			for (const entry of acknowledged) await b.untilShows(entry);
			const again = await RawClient.enter((hangars[0] as Hangar).url, crew.check.record, crew.engineer);
			const after = await remark(crew.check.writer, 'after the cut');
			again.sendEntries(...entries, after);
			await b.untilShows(after);
			await b.untilStored(after);
		});
	});
});
