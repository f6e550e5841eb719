import { describe, expect, it } from 'vitest';
import vectors from '../../../tests/vectors/record/pbkdf2.json' with { type: 'json' };
import { createKey, lockKey, openKey, softwareKey, unlockKey, verifyingKey } from '../src/index.js';
import { derivePbkdf2 } from '../src/pen/pen-lock.js';
import { seededRandom } from './world/people.js';

const random = seededRandom(14);
const rounds = 10;

describe('derivePbkdf2(password, salt, rounds, platform)', () => {
	// Source: RFC 7914 section 11. Basis: published.
	for (const { id, password, salt, rounds: count, derived } of vectors) {
		it.each([true, false])(`[REC-14] gives the published bytes (${id}), platform %s`, async (platform) => {
			const bytes = await derivePbkdf2(Buffer.from(password), Buffer.from(salt), count, platform);
			expect(Buffer.from(bytes).toString('hex')).toBe(derived);
		});
	}
});

describe('lockKey(kept, code, random) and unlockKey(locked, code)', () => {
	it('[REC-14] a pen of the key store is taken up with its code only, and then signs', async () => {
		const kept = await createKey(random);
		const locked = await lockKey(kept, '4711', random, rounds);
		expect(await unlockKey(locked, '4712')).toMatchObject({ ok: false, problem: { code: 'code-wrong' } });
		const unlocked = await unlockKey(locked, '4711');
		if (!unlocked.ok) throw new Error('code refused');
		const sig = await openKey(unlocked.value).sign('text');
		expect(await (await verifyingKey(kept.publicKey)).verifies('text', sig)).toBe(true);
	});

	it('[REC-14] a software key is not in what is kept', async () => {
		const kept = softwareKey(seededRandom(15)(32));
		if (kept.keeping !== 'extractable') throw new Error('not a software key');
		const locked = await lockKey(kept, 'Gânt 7', random, rounds);
		if (locked.keeping !== 'extractable') throw new Error('kept otherwise');
		expect(Buffer.from(locked.sealed).equals(Buffer.from(kept.secret))).toBe(false);
		expect(await unlockKey(locked, 'Gânt 7')).toEqual({ ok: true, value: kept });
		// The same letters typed as letter and accent.
		expect(await unlockKey(locked, 'Ga\u0302nt 7')).toEqual({ ok: true, value: kept });
		expect((await unlockKey(locked, 'Gant 7')).ok).toBe(false);
	});

	it('[REC-14] the same code locks differently every time', async () => {
		const kept = softwareKey(seededRandom(15)(32));
		const [one, other] = [await lockKey(kept, '1', random, rounds), await lockKey(kept, '1', random, rounds)];
		expect(one.lock.salt).not.toBe(other.lock.salt);
		expect(one.lock.check).not.toBe(other.lock.check);
	});

	it.each([
		{ salt: '!', rounds, check: '' },
		{ salt: 'AAAA', rounds: 0, check: '' },
		{ salt: 'AAAA', rounds: Number.NaN, check: '' },
		{ salt: 'AAAA', rounds: 1e12, check: '' },
	])('[REC-14] says so when the lock is damaged: %j', async (lock) => {
		const locked = { ...(await lockKey(await createKey(random), '1', random, rounds)), lock };
		expect(await unlockKey(locked, '1')).toMatchObject({ ok: false, problem: { code: 'lock-damaged' } });
	});
});
