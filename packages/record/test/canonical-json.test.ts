import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import documents from '../../../tests/vectors/record/canonical-documents.json' with { type: 'json' };
import numbers from '../../../tests/vectors/record/canonical-numbers.json' with { type: 'json' };
import digests from '../../../tests/vectors/record/sha256.json' with { type: 'json' };
import { librarySha256, platformSha256 } from '../src/hash/sha256.js';
import { canonicalJson, fromBase64url, hashBytes, toBase64url } from '../src/index.js';

function double(hex: string): number {
	return Buffer.from(hex, 'hex').readDoubleBE();
}

describe('canonicalJson(value)', () => {
	// Source: RFC 8785 appendix B. Basis: published.
	for (const { ieee, text } of numbers) {
		it(`[REC-2] writes the double ${ieee} as ${text ?? 'nothing: it throws'} (RFC 8785 appendix B)`, () => {
			if (text === null) expect(() => canonicalJson(double(ieee))).toThrow(TypeError);
			else expect(canonicalJson(double(ieee))).toBe(text);
		});
	}

	// Source: test data named by RFC 8785 appendix A. Basis: published.
	for (const { id, input, output } of documents) {
		it(`[REC-2] writes the published document "${id}" as published`, () => {
			expect(canonicalJson(JSON.parse(input))).toBe(output);
		});
	}

	it.each([
		['undefined', undefined],
		['an undefined member', { a: undefined }],
		['a hole', new Array(1)],
		['a date', new Date(0)],
		['a map', new Map()],
		['a big integer', 1n],
		['a function', () => 1],
		['a symbol', Symbol('s')],
		['something with toJSON', { toJSON: () => 1 }],
		['infinity inside', { a: [Number.NEGATIVE_INFINITY] }],
		['a lone high surrogate', '\ud800'],
		['a lone low surrogate in a name', { '\udc00': 1 }],
	])('[REC-2] throws for %s, which has no JSON', (_, value) => {
		expect(() => canonicalJson(value)).toThrow(TypeError);
	});

	it('[REC-2] is a fixed point: reading and writing again gives the same text', () => {
		const property = fc.property(fc.jsonValue({ maxDepth: 5 }), (value) => {
			const text = canonicalJson(JSON.parse(JSON.stringify(value)));
			expect(canonicalJson(JSON.parse(text))).toBe(text);
		});
		fc.assert(property, { seed: 8785, numRuns: 300 });
	});

	it('[REC-2] does not depend on the order in which members were set', () => {
		const property = fc.property(fc.dictionary(fc.string(), fc.integer()), (object) => {
			const reversed = Object.fromEntries(Object.entries(object).reverse());
			expect(canonicalJson(reversed)).toBe(canonicalJson(object));
		});
		fc.assert(property, { seed: 8785, numRuns: 200 });
	});

	it('[REC-2] writes text that looks like an escaped surrogate, and names that look like numbers, as they are', () => {
		expect(canonicalJson('\\ud800')).toBe('"\\\\ud800"');
		expect(canonicalJson({ 9: 1, 10: 2, '': 3 })).toBe('{"":3,"10":2,"9":1}');
		expect(canonicalJson({ a: ['😀', { b: '\ufffd' }] })).toBe('{"a":["😀",{"b":"\ufffd"}]}');
	});
});

describe('hashBytes(bytes)', () => {
	// Source: FIPS 180-4 examples. Basis: published.
	for (const { id, message, digest } of digests) {
		it(`[REC-2] is SHA-256 in base64url (FIPS 180-4, ${id})`, () => {
			expect(hashBytes(Buffer.from(message))).toBe(Buffer.from(digest, 'hex').toString('base64url'));
		});
	}

	it('[REC-2] agrees with the platform for lengths 0 to 200 (reference library: OpenSSL through node:crypto)', () => {
		for (let length = 0; length <= 200; length++) {
			const bytes = Uint8Array.from({ length }, (_, i) => (i * 37 + length) & 255);
			expect(hashBytes(bytes)).toBe(createHash('sha256').update(bytes).digest('base64url'));
		}
	});
});

describe('librarySha256(data) and platformSha256(data)', () => {
	it('[REC-2] give the same for texts and bytes: browsers and Node name an entry alike', () => {
		expect(platformSha256).not.toBeNull();
		const property = fc.property(fc.string({ unit: 'grapheme', maxLength: 200 }), (text) => {
			const bytes = new TextEncoder().encode(text);
			const digest = librarySha256(bytes);
			expect([librarySha256(text), platformSha256?.(text), platformSha256?.(bytes)]).toEqual([digest, digest, digest]);
		});
		fc.assert(property, { seed: 180, numRuns: 300 });
	});
});

describe('toBase64url(bytes) and fromBase64url(text)', () => {
	it('[REC-1] agree with the platform for every length (reference library: node Buffer)', () => {
		const property = fc.property(fc.uint8Array({ maxLength: 70 }), (bytes) => {
			const text = Buffer.from(bytes).toString('base64url');
			expect(toBase64url(bytes)).toBe(text);
			expect(fromBase64url(text)).toEqual({ ok: true, value: bytes });
		});
		fc.assert(property, { seed: 4648, numRuns: 300 });
	});

	it.each(['A', 'AB', 'AAAAAB', 'AAA=', 'AA==', 'A+AA', 'A/AA', 'AA A', 'AAé', 'ＡAAA'])(
		'[REC-1] refuses %j: a second spelling, or none at all',
		(text) => {
			expect(fromBase64url(text)).toMatchObject({ ok: false, problem: { code: 'not-base64url' } });
		},
	);
});
