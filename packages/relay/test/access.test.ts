import { exportRecord } from '@stillmast/record/file';
import { offeredProtocols } from '@stillmast/record/wire';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import type { Clock } from '../src/ports.js';
import { systemClock } from '../src/ports.js';
import { enrol, mustWrite, openCheck, person, remark, writerOf } from './crew.js';
import { type Crew, type Hangar, openCrew, openHangar } from './hangar.js';
import { askTicket, post, proof, RawClient } from './raw-client.js';

/** A clock that a test moves forward; timers keep real time. */
function movableClock(): Clock & { skip(ms: number): void } {
	let skippedMs = 0;
	return {
		nowMs: () => systemClock.nowMs() + skippedMs,
		monotonicMs: () => systemClock.monotonicMs() + skippedMs,
		after: systemClock.after,
		skip(ms) {
			skippedMs += ms;
		},
	};
}

describe('access to a host', () => {
	let hangar: Hangar;
	let crew: Crew;
	let clock: ReturnType<typeof movableClock>;

	beforeEach(async () => {
		clock = movableClock();
		hangar = await openHangar({ clock, limits: { joins: { burst: 100, perMinute: 100 } } });
		crew = await openCrew(hangar);
	});
	afterEach(() => hangar.close());

	const ticketOf = async () => String((await askTicket(hangar.url, crew.check.record, crew.pilot)).body.ticket);

	describe('tickets', () => {
		it('[RLY-40] a ticket opens one socket, and a second use is closed with 4501', async () => {
			const ticket = await ticketOf();
			const first = await RawClient.withTicket(hangar.url, crew.check.record, ticket);
			await first.settled();
			const second = await RawClient.withTicket(hangar.url, crew.check.record, ticket);
			await second.untilClosed();
			expect(second.closed?.code).toBe(4501);
			expect(first.closed).toBeNull();
		});

		it('[RLY-40] a ticket is dead after 60 s', async () => {
			const ticket = await ticketOf();
			clock.skip(60_001);
			const late = await RawClient.withTicket(hangar.url, crew.check.record, ticket);
			await late.untilClosed();
			expect(late.closed?.code).toBe(4501);
		});

		it('[RLY-40] a ticket for one record opens no other', async () => {
			const other = await openCrew(hangar, 'other');
			const stray = await RawClient.withTicket(hangar.url, other.check.record, await ticketOf());
			await stray.untilClosed();
			expect(stray.closed?.code).toBe(4501);
		});

		it('[RLY-40] a socket without a ticket is closed with 4501', async () => {
			const none = await RawClient.withTicket(hangar.url, crew.check.record, 'nothing');
			await none.untilClosed();
			expect(none.closed?.code).toBe(4501);
		});

		it('[RLY-40] the answer names the subprotocol and never the ticket', async () => {
			const client = await RawClient.withTicket(hangar.url, crew.check.record, await ticketOf());
			expect(client.socket.protocol).toBe('stillmast.1');
		});

		it('[RLY-41] a key that is not enrolled gets none', async () => {
			const asked = await askTicket(hangar.url, crew.check.record, await person('stranger'));
			expect(asked).toEqual({ status: 403, body: { code: 'not-enrolled' } });
		});

		it('[RLY-41] a record that is not here is 404', async () => {
			const asked = await askTicket(hangar.url, crew.pilot.key.fingerprint, crew.pilot);
			expect(asked).toEqual({ status: 404, body: { code: 'record-not-here' } });
		});

		it('[RLY-41] a nonce is good once', async () => {
			const fields = { record: crew.check.record, ...(await proof(hangar.url, crew.check.record, crew.pilot)) };
			expect((await post(hangar.url, '/api/ticket', fields)).status).toBe(200);
			expect(await post(hangar.url, '/api/ticket', fields)).toEqual({ status: 503, body: { code: 'nonce-spent' } });
		});

		it.each(['publicKey', 'sig'])('[RLY-41] a %s that does not fit proves nothing', async (field) => {
			const fields = await proof(hangar.url, crew.check.record, crew.pilot);
			const other = await proof(hangar.url, crew.check.record, crew.engineer);
			const mixed = { record: crew.check.record, ...fields, [field]: other[field] };
			expect((await post(hangar.url, '/api/ticket', mixed)).status).toBe(401);
		});

		it('[RLY-41] a signature made for another host proves nothing here', async () => {
			const other = await openHangar();
			const nonce = (await proof(hangar.url, crew.check.record, crew.pilot)).nonce;
			const elsewhere = await proof(other.url, crew.check.record, crew.pilot);
			const fields = { record: crew.check.record, ...elsewhere, nonce };
			expect((await post(hangar.url, '/api/ticket', fields)).status).toBe(401);
			await other.close();
		});
	});

	describe('invitations', () => {
		const join = async (secret: string, name: string, publicKey?: string) => {
			const who = await person(name);
			return {
				who,
				answer: await post(hangar.url, '/api/join', { secret, name, publicKey: publicKey ?? who.key.publicKey }),
			};
		};

		it('[RLY-43] joining enrols the key in the invitation’s role, and its first entry counts', async () => {
			const { secret } = await hangar.relay.createInvite(crew.check.record, 'support', 1, 12);
			const watcher = await RawClient.enter(hangar.url, crew.check.record, crew.engineer);
			const { who, answer } = await join(secret, 'remote support');
			expect(answer).toEqual({
				status: 200,
				body: {
					record: crew.check.record,
					role: 'support',
					name: 'remote support',
					hostKey: hangar.relay.publicKey,
					hostName: null,
				},
			});
			const client = await RawClient.enter(hangar.url, crew.check.record, who);
			client.sendEntries(await remark(writerOf(crew.check, who), 'try the other pitch link'));
			await client.settled();
			expect(client.closed).toBeNull();
			// The enrolment itself reached everybody who was there.
			await watcher.until((one) => one.hashes().size >= 2, 'the enrolment and the remark');
		});

		it('[RLY-42] the store holds no secret', async () => {
			const { secret, url } = await hangar.relay.createInvite(crew.check.record, 'pilot', 1, 12);
			expect(secret).toMatch(/^[A-Za-z0-9_-]{27}$/);
			expect(url).toBe(`${hangar.url}/join#${secret}`);
			await hangar.restart();
			const { readFile, readdir } = await import('node:fs/promises');
			for (const file of await readdir(hangar.place)) {
				expect((await readFile(`${hangar.place}/${file}`)).includes(secret)).toBe(false);
			}
			expect((await join(secret, 'later pilot')).answer.status).toBe(200);
		});

		it('[RLY-42] works as often as it was made for, then looks like an unknown one', async () => {
			const { secret } = await hangar.relay.createInvite(crew.check.record, 'pilot', 2, 12);
			expect((await join(secret, 'first')).answer.status).toBe(200);
			expect((await join(secret, 'second')).answer.status).toBe(200);
			const spent = (await join(secret, 'third')).answer;
			expect(spent).toEqual({ status: 410, body: { code: 'invite-spent' } });
			expect((await join('A'.repeat(27), 'guess')).answer).toEqual(spent);
			expect((await join('no secret at all', 'guess')).answer).toEqual(spent);
		});

		it('[RLY-42] two people who take the last use at once: one of them gets it', async () => {
			const { secret } = await hangar.relay.createInvite(crew.check.record, 'pilot', 1, 12);
			const answers = await Promise.all([join(secret, 'one'), join(secret, 'two'), join(secret, 'three')]);
			expect(answers.map(({ answer }) => answer.status).sort()).toEqual([200, 410, 410]);
		});

		it('[RLY-42] is dead after its hours', async () => {
			const { secret } = await hangar.relay.createInvite(crew.check.record, 'pilot', 1, 12);
			clock.skip(12 * 3_600_000);
			expect((await join(secret, 'late')).answer).toEqual({ status: 410, body: { code: 'invite-spent' } });
		});

		it('[RLY-43] asking again with the same key spends nothing and answers the same', async () => {
			const { secret } = await hangar.relay.createInvite(crew.check.record, 'pilot', 2, 12);
			const first = await join(secret, 'tablet');
			expect((await join(secret, 'tablet')).answer).toEqual(first.answer);
			expect((await join(secret, 'another')).answer.status).toBe(200);
		});

		it('[RLY-43] an unfit name or key is refused without spending the use', async () => {
			const { secret } = await hangar.relay.createInvite(crew.check.record, 'pilot', 1, 12);
			expect((await join(secret, 'x'.repeat(500))).answer.status).toBe(400);
			expect((await join(secret, '  ')).answer.status).toBe(400);
			expect((await join(secret, 'nobody', 'not a key')).answer.status).toBe(400);
			expect((await join(secret, 'pilot at last')).answer.status).toBe(200);
		});

		it('[RLY-45] attempts are limited for each address and come back with time', async () => {
			await hangar.restart({ limits: { joins: { burst: 3, perMinute: 3 } } });
			const statuses = [];
			for (let attempt = 0; attempt < 5; attempt++) statuses.push((await join('A'.repeat(27), 'guess')).answer.status);
			expect(statuses).toEqual([410, 410, 410, 429, 429]);
			clock.skip(21_000);
			expect((await join('A'.repeat(27), 'guess')).answer.status).toBe(410);
		});

		it('[RLY-43] a host that the creator did not enrol lets nobody in', async () => {
			const creator = await person('creator without host');
			const check = await openCheck(creator);
			expect(await hangar.relay.adopt(check.record, check.set.inOrder())).toBeNull();
			const { secret } = await hangar.relay.createInvite(check.record, 'pilot', 1, 12);
			expect((await join(secret, 'pilot')).answer).toEqual({ status: 409, body: { code: 'host-not-enrolled' } });
		});
	});

	describe('invitations from the board', () => {
		const ask = async (path: string, who: typeof crew.pilot, fields: Record<string, unknown> = {}) => {
			const record = crew.check.record;
			return post(hangar.url, path, { record, ...fields, ...(await proof(hangar.url, record, who)) });
		};
		const join = async (secret: unknown, name: string) => {
			const { key } = await person(name);
			return post(hangar.url, '/api/join', { secret, name, publicKey: key.publicKey });
		};

		it('[RLY-50] crew may invite, see what was made, and revoke it', async () => {
			const made = await ask('/api/invites', crew.pilot, { role: 'support', uses: 3, hours: 2 });
			expect(made.status).toBe(200);
			expect((await join(made.body.secret, 'support one')).body.role).toBe('support');
			const list = await ask('/api/invites/list', crew.engineer);
			const [invite] = list.body.invites as { invite: string; usesLeft: number; role: string }[];
			expect(invite).toMatchObject({ role: 'support', usesLeft: 2, revoked: false });
			expect(JSON.stringify(list.body)).not.toContain(made.body.secret);
			expect((await ask('/api/invites/revoke', crew.engineer, { invite: invite?.invite })).status).toBe(200);
			expect((await join(made.body.secret, 'support two')).status).toBe(410);
		});

		it('[RLY-50] others may not, nobody is invited as host, and numbers have limits', async () => {
			expect((await ask('/api/invites', crew.reviewer, { role: 'pilot' })).body.code).toBe('may-not-invite');
			expect((await ask('/api/invites', await person('stranger'), { role: 'pilot' })).status).toBe(403);
			expect((await ask('/api/invites', crew.pilot, { role: 'host' })).body.code).toBe('not-a-role');
			expect((await ask('/api/invites', crew.pilot, { role: 'pilot', uses: 1.5 })).status).toBe(400);
			expect((await ask('/api/invites', crew.pilot, { role: 'pilot', hours: 1_000 })).status).toBe(400);
			expect((await ask('/api/invites/revoke', crew.pilot, { invite: 'other' })).status).toBe(404);
		});

		it('[RLY-51] a spoken code is ten characters, works once, however it is written, for ten minutes', async () => {
			const made = await ask('/api/invites', crew.engineer, { role: 'pilot', spoken: 'yes' });
			const code = String(made.body.code);
			expect(code).toMatch(/^[A-HJKMNP-Z1-9]{10}$/);
			const written = `${code.slice(0, 5)} - ${code.slice(5)}`.toLowerCase();
			expect((await join(written, 'pilot by radio')).body.role).toBe('pilot');
			expect((await join(code, 'second')).status).toBe(410);
			const late = await ask('/api/invites', crew.engineer, { role: 'pilot', spoken: 'yes' });
			clock.skip(600_000);
			expect((await join(late.body.code, 'late')).status).toBe(410);
		});
	});

	describe('revocation', () => {
		it('[RLY-49] closes the key’s sockets within a second and gives no ticket afterwards', async () => {
			const pilot = await RawClient.enter(hangar.url, crew.check.record, crew.pilot);
			const engineer = await RawClient.enter(hangar.url, crew.check.record, crew.engineer);
			await pilot.settled();
			const startedMs = performance.now();
			engineer.sendEntries(
				await mustWrite(crew.check.writer, 'revoked', {
					key: crew.pilot.key.fingerprint,
					heads: [],
					reason: 'tablet lost',
				}),
			);
			await pilot.untilClosed();
			expect(performance.now() - startedMs).toBeLessThan(1_000);
			expect(pilot.closed?.code).toBe(4401);
			expect(engineer.closed).toBeNull();
			expect((await askTicket(hangar.url, crew.check.record, crew.pilot)).body).toEqual({ code: 'revoked' });
		});

		it('[RLY-49] by somebody who is no authority changes nothing', async () => {
			const pilot = await RawClient.enter(hangar.url, crew.check.record, crew.pilot);
			const engineer = await RawClient.enter(hangar.url, crew.check.record, crew.engineer);
			pilot.sendEntries(
				await mustWrite(writerOf(crew.check, crew.pilot), 'revoked', {
					key: crew.engineer.key.fingerprint,
					heads: [],
					reason: 'because',
				}),
			);
			await pilot.settled();
			await engineer.settled();
			expect(engineer.closed).toBeNull();
		});
	});

	describe('records', () => {
		const fileOf = (check: { set: Parameters<typeof exportRecord>[0] }) =>
			exportRecord(check.set, () => undefined).text;

		it('[RLY-46] a check whose creator is crew here, and has enrolled this host, is taken and kept', async () => {
			const check = await openCheck(crew.pilot, { host: hangar.relay.publicKey, role: 'pilot' });
			const entry = await remark(check.writer, 'begun in the field');
			const brought = await post(hangar.url, '/api/records', fileOf(check));
			expect(brought).toEqual({ status: 200, body: { record: check.record, entries: 3 } });
			await hangar.restart();
			const client = await RawClient.enter(hangar.url, check.record, crew.pilot);
			client.sync();
			await client.untilShows(entry);
		});

		it('[RLY-46] comes as one JSON string just as well, and again without harm', async () => {
			const check = await openCheck(crew.pilot, { host: hangar.relay.publicKey, role: 'pilot' });
			const text = JSON.stringify(fileOf(check));
			const first = await post(hangar.url, '/api/records', text);
			expect(first.status).toBe(200);
			expect(await post(hangar.url, '/api/records', text)).toEqual(first);
		});

		it('[RLY-46] a check of somebody unknown here is refused', async () => {
			const check = await openCheck(await person('unknown'), { host: hangar.relay.publicKey });
			expect(await post(hangar.url, '/api/records', fileOf(check))).toEqual({
				status: 403,
				body: { code: 'not-crew-here' },
			});
		});

		it('[RLY-46] a reviewer’s check is refused', async () => {
			const check = await openCheck(crew.reviewer, { host: hangar.relay.publicKey });
			expect((await post(hangar.url, '/api/records', fileOf(check))).body.code).toBe('not-crew-here');
		});

		it('[RLY-46] an instructor brings a rehearsal, and nothing else', async () => {
			const teacher = await person('instructor');
			await enrol(crew.check, teacher, 'instructor');
			await hangar.relay.adopt(crew.check.record, crew.check.set.inOrder());
			const asked = { host: hangar.relay.publicKey, role: 'instructor' } as const;
			const lesson = await openCheck(teacher, { ...asked, purpose: 'rehearsal' });
			expect((await post(hangar.url, '/api/records', fileOf(lesson))).status).toBe(200);
			const flight = await openCheck(teacher, asked);
			expect((await post(hangar.url, '/api/records', fileOf(flight))).body.code).toBe('host-not-enrolled');
		});

		it('[RLY-46] a check that does not name this host is refused, with the key to enrol', async () => {
			const check = await openCheck(crew.pilot, { role: 'pilot' });
			expect(await post(hangar.url, '/api/records', fileOf(check))).toEqual({
				status: 409,
				body: { code: 'host-not-enrolled', hostKey: hangar.relay.publicKey },
			});
		});

		it('[RLY-46] a file with one changed byte is refused and nothing of it is kept', async () => {
			const check = await openCheck(crew.pilot, { host: hangar.relay.publicKey, role: 'pilot' });
			const text = fileOf(check).replace('ZZ-OUZ', 'ZZ-OUX');
			expect((await post(hangar.url, '/api/records', text)).status).toBe(422);
			expect((await post(hangar.url, '/api/records', '{"format":')).status).toBe(422);
			expect((await askTicket(hangar.url, check.record, crew.pilot)).status).toBe(404);
		});

		it('importRecordFile(text) takes a file on the operator’s word', async () => {
			const creator = await person('from another hangar');
			const check = await openCheck(creator);
			expect(await hangar.relay.importRecordFile(fileOf(check))).toEqual({ ok: true, value: check.record });
			expect((await askTicket(hangar.url, check.record, creator)).status).toBe(200);
			expect((await hangar.relay.importRecordFile('{}')).ok).toBe(false);
		});

		it('[RLY-47] the list holds the asker’s records and no others', async () => {
			const second = await openCheck(crew.engineer, { host: hangar.relay.publicKey, purpose: 'rehearsal' });
			await enrol(second, crew.pilot, 'pilot');
			await hangar.relay.adopt(second.record, second.set.inOrder());
			const ask = async (who: typeof crew.pilot) =>
				(await post(hangar.url, '/api/records/list', await proof(hangar.url, 'list', who))).body.records;
			expect(await ask(crew.pilot)).toMatchObject([
				{ record: crew.check.record, role: 'pilot', registration: 'ZZ-OUZ', purpose: 'flight', entries: 4 },
				{ record: second.record, role: 'pilot', registration: 'ZZ-OUZ', purpose: 'rehearsal', entries: 3 },
			]);
			expect(await ask(crew.reviewer)).toMatchObject([{ record: crew.check.record, role: 'reviewer' }]);
			expect(await ask(await person('stranger'))).toEqual([]);
			const unproved = await proof(hangar.url, crew.check.record, crew.pilot);
			expect((await post(hangar.url, '/api/records/list', unproved)).status).toBe(401);
		});
	});

	describe('the host', () => {
		it('[RLY-48] has one key for ever', async () => {
			const before = await (await fetch(`${hangar.url}/api/host`)).json();
			await hangar.restart();
			const after = await (await fetch(`${hangar.url}/api/host`)).json();
			expect(after).toEqual(before);
			expect(after).toMatchObject({ publicKey: hangar.relay.publicKey, wire: 1 });
		});

		it('[RLY-60] listens on this machine only unless asked', () => {
			expect(new URL(hangar.url).hostname).toBe('127.0.0.1');
		});
	});

	describe('origins', () => {
		const handshake = async (headers: Record<string, string>, host?: string) => {
			const url = `ws://127.0.0.1:${hangar.relay.port}/sync/${crew.check.record}`;
			const socket = new WebSocket(url, offeredProtocols('x'), { headers: { ...headers, ...(host ? { host } : {}) } });
			const status = await new Promise<number>((resolve) => {
				socket.on('open', () => resolve(101));
				socket.on('unexpected-response', (_, response) => resolve(response.statusCode ?? 0));
				socket.on('error', () => undefined);
			});
			socket.terminate();
			return status;
		};

		it('[RLY-44] only the host’s own origin gets a handshake', async () => {
			const { port } = hangar.relay;
			const matrix: [string, Record<string, string>, string | undefined, number][] = [
				['ours', { origin: `http://127.0.0.1:${port}` }, undefined, 101],
				['none', {}, undefined, 403],
				['null', { origin: 'null' }, undefined, 403],
				['foreign', { origin: 'http://evil.example' }, undefined, 403],
				['look-alike', { origin: `http://127.0.0.1.evil.example:${port}` }, undefined, 403],
				['prefix', { origin: `http://127.0.0.1:${port}0` }, undefined, 403],
				['other port', { origin: `http://127.0.0.1:${port + 1}` }, undefined, 403],
				['other scheme', { origin: `https://127.0.0.1:${port}` }, undefined, 403],
				['foreign name pointed here', { origin: 'http://evil.example' }, 'evil.example', 403],
			];
			for (const [name, headers, host, status] of matrix) {
				expect([name, await handshake(headers, host)]).toEqual([name, status]);
			}
		});

		it('[RLY-44] a listed origin and the host’s name are let in', async () => {
			await hangar.restart({ name: 'board.lynmoor.example', origins: ['https://board.example'] });
			expect(await handshake({ origin: 'https://board.example' })).toBe(101);
			const named = `board.lynmoor.example:${hangar.relay.port}`;
			expect(await handshake({ origin: `http://${named}` }, named)).toBe(101);
		});

		it('[RLY-44] a post from a foreign page is refused, and one to a foreign name as well', async () => {
			const posted = await post(hangar.url, '/api/nonce', {}, { origin: 'http://evil.example' });
			expect(posted).toEqual({ status: 403, body: { code: 'foreign-origin' } });
			const { request } = await import('node:http');
			const status = await new Promise((resolve) => {
				request({ port: hangar.relay.port, path: '/api/host', headers: { host: 'evil.example' } }, (response) => {
					response.resume();
					resolve(response.statusCode);
				}).end();
			});
			expect(status).toBe(421);
		});
	});
});
