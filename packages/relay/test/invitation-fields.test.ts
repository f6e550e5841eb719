import { createHash } from 'node:crypto';
import { type EntryOf, roles } from '@stillmast/formats/entry';
import { readEntries } from '@stillmast/record/carrier';
import { fingerprint } from '@stillmast/record/hash';
import { ticketText } from '@stillmast/record/wire';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Clock, systemClock } from '../src/ports.js';
import { enrol, mustWrite, type Person, person } from './crew.js';
import { type Crew, type Hangar, openCrew, openHangar } from './hangar.js';
import { askTicket, type Posted, post, proof, RawClient } from './raw-client.js';

const SPENT = { status: 410, body: { code: 'invite-spent' } };
const HOUR_MS = 3_600_000;
const PATHS = ['/api/invites', '/api/invites/list', '/api/invites/revoke'];

/** Each field of an invitation, and of what asks for one: what stands there holds, whatever anybody else says. */
describe('every field of an invitation', () => {
	let hangar: Hangar;
	let crew: Crew;
	let nowMs: number;

	beforeEach(async () => {
		nowMs = Date.UTC(2026, 5, 1);
		const clock: Clock = { ...systemClock, nowMs: () => nowMs };
		hangar = await openHangar({ clock, limits: { joins: { burst: 100, perMinute: 100 } } });
		crew = await openCrew(hangar);
	});
	afterEach(() => hangar.close());

	const ask = async (path: string, who: Person, fields: Record<string, unknown> = {}, record = crew.check.record) =>
		post(hangar.url, path, { record, ...fields, ...(await proof(hangar.url, record, who)) });
	const invite = async (fields: Record<string, unknown>): Promise<string> =>
		String((await ask('/api/invites', crew.engineer, fields)).body.secret);
	const join = async (secret: string, who: Person, more: Record<string, unknown> = {}): Promise<Posted> =>
		post(hangar.url, '/api/join', { ...more, secret, name: who.name, publicKey: who.key.publicKey });
	const invites = async () => (await ask('/api/invites/list', crew.engineer)).body.invites as unknown[];
	const enrolmentOf = async (who: Person): Promise<EntryOf<'enrolled'> | undefined> => {
		const client = await RawClient.enter(hangar.url, crew.check.record, crew.engineer);
		client.sync();
		await client.settled();
		const enrolments = readEntries(client.doc).entries.filter(({ kind }) => kind === 'enrolled');
		return (enrolments as unknown as EntryOf<'enrolled'>[]).find(({ publicKey }) => publicKey === who.key.publicKey);
	};

	it('[RLY-42] secret: one other character anywhere opens nothing', async () => {
		const secret = await invite({ role: 'pilot' });
		const guest = await person('guest');
		for (let at = 0; at < secret.length; at++) {
			const other = `${secret.slice(0, at)}${secret[at] === 'A' ? 'Q' : 'A'}${secret.slice(at + 1)}`;
			expect(await join(other, guest)).toEqual(SPENT);
		}
		expect((await join(secret, guest)).status).toBe(200);
	});

	it('[RLY-42] expiry: the last millisecond still lets in, the next does not', async () => {
		const secret = await invite({ role: 'pilot', uses: 2, hours: 2 });
		nowMs += 2 * HOUR_MS - 1;
		expect((await join(secret, await person('in time'))).status).toBe(200);
		nowMs += 1;
		expect(await join(secret, await person('late'))).toEqual(SPENT);
	});

	it('[RLY-42] uses: as many people as it says, at once or one after the other, and not one more', async () => {
		const secret = await invite({ role: 'pilot', uses: 3 });
		const people = await Promise.all([1, 2, 3, 4, 5].map((n) => person(`guest ${n}`)));
		const answers = await Promise.all(people.map((who) => join(secret, who)));
		expect(answers.map(({ status }) => status).sort()).toEqual([200, 200, 200, 410, 410]);
		const left = people.filter((_, n) => answers[n]?.status === 410);
		for (const who of left) expect(await join(secret, who)).toEqual(SPENT);
	});

	it.each(roles.filter((role) => role !== 'host'))(
		'[RLY-43] role: whoever is invited as %s is that, whatever they ask for',
		async (role) => {
			const guest = await person('guest');
			const asked = role === 'engineer' ? 'pilot' : 'engineer';
			const answer = await join(await invite({ role }), guest, { role: asked });
			expect(answer.body.role).toBe(role);
			expect((await askTicket(hangar.url, crew.check.record, guest)).body.role).toBe(role);
		},
	);

	it('[RLY-43] record: it lets into its own and no other, whatever record is named', async () => {
		const other = await openCrew(hangar, 'other');
		const guest = await person('guest');
		const answer = await join(await invite({ role: 'pilot' }), guest, { record: other.check.record });
		expect(answer.body.record).toBe(crew.check.record);
		expect((await askTicket(hangar.url, other.check.record, guest)).status).toBe(403);
	});

	it('[RLY-43] the enrolment is signed by the host, names the invitation by its digest and nothing of the secret', async () => {
		const secret = await invite({ role: 'support' });
		const guest = await person('guest');
		await join(secret, guest);
		const enrolment = await enrolmentOf(guest);
		expect(enrolment).toMatchObject({
			by: fingerprint(hangar.relay.publicKey),
			role: 'support',
			name: 'guest',
			invite: createHash('sha256').update(secret).digest('base64url'),
		});
		expect(JSON.stringify(enrolment)).not.toContain(secret);
	});

	it('[RLY-43] key: a key that was locked out comes back by no invitation', async () => {
		const guest = await person('guest');
		await join(await invite({ role: 'pilot' }), guest);
		const revoked = await mustWrite(crew.check.writer, 'revoked', {
			key: guest.key.fingerprint,
			heads: [],
			reason: 'device lost',
		});
		expect(await hangar.relay.adopt(crew.check.record, [...crew.check.set.inOrder(), revoked])).toBeNull();
		expect(await join(await invite({ role: 'engineer' }), guest)).toEqual({ status: 403, body: { code: 'revoked' } });
	});

	it.each(roles)(
		'[RLY-50] whose signature: as %s nobody makes, sees or revokes them but pilots and engineers',
		async (role) => {
			const asking = await person(`asking ${role}`);
			await enrol(crew.check, asking, role);
			expect(await hangar.relay.adopt(crew.check.record, crew.check.set.inOrder())).toBeNull();
			const may = role === 'pilot' || role === 'engineer';
			const before = await invites();
			const answers = await Promise.all(PATHS.map((path) => ask(path, asking, { role: 'pilot', invite: 'none' })));
			expect(answers.map(({ status }) => status)).toEqual(may ? [200, 200, 404] : [403, 403, 403]);
			expect((await invites()).length).toBe(before.length + (may ? 1 : 0));
		},
	);

	it.each(PATHS)('[RLY-50] whose signature: %s answers no other key, record, host or nonce', async (path) => {
		const { record } = crew.check;
		const other = await openCrew(hangar, 'other');
		const signed = async (who: Person, host: string, asked: string) => {
			const nonce = String((await post(hangar.url, '/api/nonce', {})).body.nonce);
			return { publicKey: crew.engineer.key.publicKey, nonce, sig: await who.key.sign(ticketText(host, asked, nonce)) };
		};
		const host = new URL(hangar.url).host;
		const spent = await proof(hangar.url, record, crew.engineer);
		await post(hangar.url, '/api/ticket', { record, ...spent });
		const sound = await proof(hangar.url, record, crew.engineer);
		const forged: readonly Record<string, string>[] = [
			await signed(crew.pilot, host, record),
			await signed(crew.engineer, 'another.example:4300', record),
			await signed(crew.engineer, host, other.check.record),
			await signed(crew.engineer, host, 'list'),
			spent,
			{ ...sound, nonce: 'A'.repeat(27) },
			{ publicKey: sound.publicKey ?? '', sig: sound.sig ?? '' },
			{ publicKey: sound.publicKey ?? '', nonce: String((await post(hangar.url, '/api/nonce', {})).body.nonce) },
		];
		const before = await invites();
		for (const fields of forged) {
			const answer = await post(hangar.url, path, { record, role: 'pilot', invite: 'none', ...fields });
			expect([401, 503]).toContain(answer.status);
		}
		expect(await invites()).toEqual(before);
	});

	it('[RLY-50] what record: the crew of one neither sees nor revokes what another made', async () => {
		const other = await openCrew(hangar, 'other');
		const secret = await invite({ role: 'pilot' });
		const digest = createHash('sha256').update(secret).digest('base64url');
		const seen = await ask('/api/invites/list', other.engineer, {}, other.check.record);
		expect(seen.body.invites).toEqual([]);
		const revoked = await ask('/api/invites/revoke', other.engineer, { invite: digest }, other.check.record);
		expect(revoked).toEqual({ status: 404, body: { code: 'no-such-invite' } });
		expect((await ask('/api/invites/revoke', other.engineer, { invite: digest })).status).toBe(403);
		expect((await join(secret, await person('guest'))).status).toBe(200);
	});

	it.each([
		['uses', [0, -1, 1.5, 21, 1e9, 'three', '']],
		['hours', [0, -1, 168.01, 1e9, 'two', 'Infinity', 'NaN', '']],
	])('[RLY-50] %s outside their range make nothing', async (field, values) => {
		for (const value of values) {
			const answer = await ask('/api/invites', crew.engineer, { role: 'pilot', [field]: value });
			expect(answer).toEqual({ status: 400, body: { code: 'not-in-range', path: `$.${field}` } });
		}
		expect(await invites()).toEqual([]);
	});

	it('[RLY-51] a spoken code has one use and ten minutes, whatever else is asked for', async () => {
		const fields = { role: 'pilot', spoken: 'yes', uses: 20, hours: 168 };
		const made = await ask('/api/invites', crew.engineer, fields);
		expect(made.body.expiresAtMs).toBe(nowMs + HOUR_MS / 6);
		expect(await invites()).toMatchObject([{ usesLeft: 1, expiresAtMs: nowMs + HOUR_MS / 6 }]);
	});
});
