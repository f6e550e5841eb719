import { pbkdf2Sync } from 'node:crypto';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { certificateWords, joinWords, threeWords } from '../src/words/index.js';
import { WORDS } from '../src/words/list.js';

const key = (letter: string) => letter.repeat(43);
const seen = { record: key('A'), hostKey: key('B'), publicKey: key('C') };

describe('threeWords(text)', () => {
	afterEach(() => vi.unstubAllGlobals());

	it('[RLY-52] agrees with PBKDF2 of node:crypto (reference library), read as a number in base of the list', async () => {
		const bits = pbkdf2Sync('any text', 'stillmast words v1', 200_000, 8, 'sha256').readBigUInt64BE();
		const base = BigInt(WORDS.length);
		const expected = [bits % base, (bits / base) % base, (bits / base / base) % base];
		expect(await threeWords('any text')).toBe(expected.map((place) => WORDS[Number(place)]).join(' '));
	});

	it('[RLY-52] gives the same words where the platform lends no cryptography, as on a page without https', async () => {
		const words = await threeWords('any text');
		vi.stubGlobal('crypto', {});
		expect(await threeWords('any text')).toBe(words);
	}, 30_000);

	it('[RLY-52] the list is in order, without repeats, of words of 3 to 8 letters, and large enough for 2^29 triples', () => {
		expect([...new Set(WORDS)].toSorted()).toEqual(WORDS);
		for (const word of WORDS) expect(word).toMatch(/^[a-z]{3,8}$/);
		expect(WORDS.length ** 3).toBeGreaterThan(2 ** 29);
	});
});

describe('joinWords(seen)', () => {
	it('[RLY-52] another record, another host or another key: other words', async () => {
		const words = await joinWords(seen);
		expect(words.split(' ')).toHaveLength(3);
		expect(await joinWords({ ...seen })).toBe(words);
		for (const other of [
			{ ...seen, record: key('D') },
			{ ...seen, hostKey: key('D') },
			{ ...seen, publicKey: key('D') },
			{ record: seen.hostKey, hostKey: seen.record, publicKey: seen.publicKey },
		]) {
			expect(await joinWords(other)).not.toBe(words);
		}
	});
});

describe('certificateWords(sha256Hex)', () => {
	it('[RLY-53] does not mind how the digits are written', async () => {
		const digits = '0123456789abcdef'.repeat(4);
		expect(await certificateWords(digits.toUpperCase())).toBe(await certificateWords(digits));
		expect(await certificateWords(digits.replace('0', '1'))).not.toBe(await certificateWords(digits));
	});
});
