import type { EntryOf } from '@stillmast/formats/entry';
import { readEntries } from '@stillmast/record/carrier';
import { postInvite } from '@stillmast/record/client';
import { exportRecord } from '@stillmast/record/file';
import { EntrySet } from '@stillmast/record/set';
import { enrolmentWords, joinWords } from '@stillmast/record/words';
import { afterEach, describe, expect, it } from 'vitest';
import type { JoinNews } from '../src/access/api.js';
import { systemClock } from '../src/ports.js';
import { openCheck, type Person, person } from './crew.js';
import { type Hangar, openCrew, openHangar } from './hangar.js';
import { askTicket, networkTo, post, RawClient } from './raw-client.js';

let hangar: Hangar;
afterEach(() => hangar.close());

const join = (secret: string, who: Person, publicKey = who.key.publicKey) =>
	post(hangar.url, '/api/join', { secret, name: who.name, publicKey });

describe('words for whoever joins', () => {
	it('[RLY-52] the device that joined, the operator and the crew, from the entry, see the same three words', async () => {
		const news: JoinNews[] = [];
		hangar = await openHangar({ onJoined: (joined) => news.push(joined) });
		const { check, engineer } = await openCrew(hangar);
		const guest = await person('guest');
		const { secret } = await hangar.relay.createInvite(check.record, 'support', 1, 1);
		const { body } = await join(secret, guest);
		const onDevice = await joinWords({
			record: String(body.record),
			hostKey: String(body.hostKey),
			publicKey: guest.key.publicKey,
		});
		expect(news).toEqual([
			{ record: check.record, registration: 'ZZ-OUZ', role: 'support', name: 'guest', words: onDevice },
		]);
		const crew = await RawClient.enter(hangar.url, check.record, engineer);
		crew.sync();
		await crew.until((one) => one.hashes().size > check.set.size, 'the enrolment');
		const set = new EntrySet(check.record, readEntries(crew.doc).entries);
		const enrolments = set.inOrder().filter(({ kind }) => kind === 'enrolled') as unknown as EntryOf<'enrolled'>[];
		const own = enrolments.filter(({ publicKey }) => publicKey === guest.key.publicKey);
		expect(await Promise.all(own.map((one) => enrolmentWords(set, one)))).toEqual([onDevice]);
		// Whom the creator enrolled by hand was let in by no host, and has no words.
		const byHand = enrolments.filter(({ invite }) => invite === null);
		expect(await Promise.all(byHand.map((one) => enrolmentWords(set, one)))).toEqual(byHand.map(() => null));
	});

	it('[RLY-52] a host in between that enrols a pen of its own shows other words on the two sides', async () => {
		const news: JoinNews[] = [];
		hangar = await openHangar({ onJoined: (joined) => news.push(joined) });
		const { check } = await openCrew(hangar);
		const [guest, between] = [await person('guest'), await person('in between')];
		const { secret } = await hangar.relay.createInvite(check.record, 'pilot', 1, 1);
		// The guest reads the code to the wrong host, which joins the true one in its place and passes the answer on.
		const { body } = await join(secret, guest, between.key.publicKey);
		const onDevice = await joinWords({
			record: String(body.record),
			hostKey: String(body.hostKey),
			publicKey: guest.key.publicKey,
		});
		expect(news[0]?.words).not.toBe(onDevice);
	});
});

describe('postInvite(network, record, pen, order)', () => {
	it.each(['link', 'spoken'] as const)('[RLY-50] crew let one person in by a %s, in the role they said', async (as) => {
		hangar = await openHangar();
		const { check, engineer } = await openCrew(hangar);
		const network = networkTo(hangar.url);
		const made = await postInvite(network, check.record, engineer.key, { role: 'support', as });
		if (!made.ok) throw new Error(made.problem.code);
		expect(made.value).toMatch(as === 'link' ? /^[A-Za-z0-9_-]{27}$/ : /^[A-Z1-9]{10}$/);
		const [first, second] = [await person('first'), await person('second')];
		expect(await join(made.value, first)).toMatchObject({
			status: 200,
			body: { record: check.record, role: 'support' },
		});
		expect((await join(made.value, second)).status).toBe(410);
	});

	it('[RLY-50] says so when the pen may let nobody in, and when the host is away', async () => {
		hangar = await openHangar();
		const { check, reviewer } = await openCrew(hangar);
		const network = networkTo(hangar.url);
		const order = { role: 'pilot', as: 'link' } as const;
		expect(await postInvite(network, check.record, reviewer.key, order)).toMatchObject({
			ok: false,
			problem: { code: 'not-enrolled', found: '403 may-not-invite' },
		});
		await hangar.relay.stop();
		const away = await postInvite(network, check.record, reviewer.key, order);
		expect(away).toEqual({ ok: false, problem: { code: 'host-unreachable' } });
	});
});

describe('the first engineer', () => {
	const fileOf = (check: { set: EntrySet }) => exportRecord(check.set, () => undefined).text;

	it('[RLY-54] of a host that keeps nothing may bring the first check, and is crew from then on', async () => {
		hangar = await openHangar();
		const first = await person('first engineer');
		const check = await openCheck(first, { host: hangar.relay.publicKey });
		expect(await post(hangar.url, '/api/records', fileOf(check))).toMatchObject({ status: 403 });
		const { secret, url } = hangar.relay.welcome ?? { secret: '', url: '' };
		expect(url).toBe(`${hangar.url}/join#${secret}`);
		expect(await join(secret, first)).toMatchObject({ status: 200, body: { record: '', role: 'engineer' } });
		expect(await post(hangar.url, '/api/records', fileOf(check))).toMatchObject({ status: 200 });
		expect((await askTicket(hangar.url, check.record, first)).status).toBe(200);
		await hangar.restart();
		expect(hangar.relay.welcome).toBeNull();
		const second = await openCheck(first, { host: hangar.relay.publicKey });
		expect(await post(hangar.url, '/api/records', fileOf(second))).toMatchObject({ status: 200 });
	});

	it('[RLY-54] the welcome is one person’s: the same may ask again, another gets what a spent invitation gets', async () => {
		hangar = await openHangar();
		const [first, other] = [await person('first'), await person('other')];
		const secret = hangar.relay.welcome?.secret ?? '';
		expect((await join(secret, first)).status).toBe(200);
		expect((await join(secret, first)).status).toBe(200);
		expect(await join(secret, other)).toEqual({ status: 410, body: { code: 'invite-spent' } });
		const check = await openCheck(other, { host: hangar.relay.publicKey });
		expect(await post(hangar.url, '/api/records', fileOf(check))).toMatchObject({ status: 403 });
	});

	it('[RLY-54] dies after a day, and a wrong secret opens nothing', async () => {
		let leapMs = 0;
		hangar = await openHangar({ clock: { ...systemClock, monotonicMs: () => systemClock.monotonicMs() + leapMs } });
		const first = await person('first');
		expect((await join('A'.repeat(27), first)).status).toBe(410);
		leapMs = 24 * 3_600_000 + 1;
		expect((await join(hangar.relay.welcome?.secret ?? '', first)).status).toBe(410);
	});
});
