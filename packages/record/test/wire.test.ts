import fc from 'fast-check';
import { createDecoder, hasContent, readVarUint, readVarUint8Array } from 'lib0/decoding';
import { createEncoder, toUint8Array, writeVarUint } from 'lib0/encoding';
import { describe, expect, it } from 'vitest';
import { writeSyncStep1, writeSyncStep2, writeUpdate } from 'y-protocols/sync';
import * as Y from 'yjs';
import {
	ASSEMBLED_BYTES_MAX,
	carriesUpdate,
	decodeMessage,
	encodeMessage,
	FRAME_BYTES_MAX,
	FragmentAssembler,
	frames,
	offeredProtocols,
	SUBPROTOCOL,
	syncPath,
	ticketOf,
	ticketText,
	type WireMessage,
} from '../src/wire/index.js';

const hash = 'A'.repeat(43);
const chain = 'A'.repeat(11);
const bytes = Uint8Array.from([1, 2, 250]);

const samples: readonly WireMessage[] = [
	{ type: 'sync-step-1', stateVector: bytes },
	{ type: 'sync-step-2', update: bytes },
	{ type: 'sync-update', update: bytes },
	{ type: 'awareness', update: bytes },
	{ type: 'query-awareness' },
	{ type: 'hello', wire: 1, entryRange: [1, 1], build: '0.1.0', role: 'pilot' },
	{ type: 'stored', heads: [[chain, 12, hash]] },
	{ type: 'fragment', id: 3, index: 0, count: 2, bytes },
	{ type: 'have', blobs: [hash, hash] },
	{ type: 'want', blobs: [] },
	{ type: 'blob', hash, bytes },
	{
		type: 'feed',
		source: 'rehearsal',
		registration: 'ZZ-TST',
		timeS: 12.5,
		values: { torquePct: 80.1 },
		states: { phase: 'hover' },
	},
	{ type: 'ping', n: 7, at: 1.5e12 },
	{ type: 'pong', n: 7, at: 1.5e12, hostAt: 1.5e12 + 0.25 },
	{ type: 'draft', subject: 'summary', update: bytes },
];

describe('encodeMessage(message) and decodeMessage(bytes)', () => {
	it.each(samples)('[REC-90] $type comes back as it went', (message) => {
		expect(decodeMessage(encodeMessage(message))).toEqual({ ok: true, value: message });
	});

	it.each(samples)('[REC-90] $type: no cut and no byte left over is taken', (message) => {
		const whole = encodeMessage(message);
		for (let length = 0; length < whole.length; length++) {
			expect(decodeMessage(whole.subarray(0, length)).ok, `${length} of ${whole.length}`).toBe(false);
		}
		const longer = new Uint8Array(whole.length + 1);
		longer.set(whole);
		expect(decodeMessage(longer)).toMatchObject({ ok: false, problem: { code: 'malformed' } });
	});

	it('[REC-90] reads and writes the sync messages of y-protocols (reference library)', () => {
		const doc = new Y.Doc();
		doc.getMap('entries').set('a', 1);
		const theirs = (write: (encoder: ReturnType<typeof createEncoder>) => void) => {
			const encoder = createEncoder();
			writeVarUint(encoder, 0);
			write(encoder);
			return toUint8Array(encoder);
		};
		const update = Y.encodeStateAsUpdate(doc);
		const stateVector = Y.encodeStateVector(doc);
		const pairs: [Uint8Array, WireMessage][] = [
			[theirs((encoder) => writeSyncStep1(encoder, doc)), { type: 'sync-step-1', stateVector }],
			[theirs((encoder) => writeSyncStep2(encoder, doc)), { type: 'sync-step-2', update }],
			[theirs((encoder) => writeUpdate(encoder, update)), { type: 'sync-update', update }],
		];
		for (const [frame, message] of pairs) {
			expect(decodeMessage(frame)).toEqual({ ok: true, value: message });
			expect(encodeMessage(message)).toEqual(frame);
		}
	});

	it.each<[string, number[]]>([
		['a chain id with spare bits', [101, 1, 11, ...Buffer.from('AAAAAAAAAAB'), 1, 43, ...Buffer.from(hash)]],
		['a hash of the wrong length', [103, 1, 42, ...Buffer.from(hash.slice(1))]],
		['a list longer than the bytes', [103, 0xff, 0xff, 0x03]],
		['an unknown role', [100, 1, 1, 1, 1, 0x61, 4, ...Buffer.from('boss')]],
		['text that is not UTF-8', [100, 1, 1, 1, 1, 0xff, 5, ...Buffer.from('pilot')]],
		['a time that is not finite', [107, 1, 0x7f, 0xf0, 0, 0, 0, 0, 0, 0]],
		['a sync step of no kind', [0, 3, 0]],
	])('[REC-90] refuses %s as malformed', (_, frame) => {
		expect(decodeMessage(Uint8Array.from(frame))).toMatchObject({ ok: false, problem: { code: 'malformed' } });
	});

	it('[REC-90] tells a number that it does not know from a malformed message', () => {
		expect(decodeMessage(Uint8Array.from([2, 1]))).toMatchObject({
			ok: false,
			problem: { code: 'unknown-message', found: 2 },
		});
	});

	it('[REC-90] refuses presence over 4 KiB', () => {
		const frame = encodeMessage({ type: 'awareness', update: new Uint8Array(4097) });
		expect(decodeMessage(frame)).toMatchObject({ ok: false, problem: { code: 'too-big' } });
	});

	it('[REC-90] answers any bytes without throwing', () => {
		const property = fc.property(fc.uint8Array({ maxLength: 200 }), fc.nat(samples.length - 1), (noise, i) => {
			const start = encodeMessage(samples[i] as WireMessage);
			const mixed = Uint8Array.from([...start.subarray(0, 1 + (noise.length % start.length)), ...noise]);
			for (const frame of [noise, mixed]) {
				const decoded = decodeMessage(frame);
				// What is taken says the same when it is written again.
				if (decoded.ok) expect(decodeMessage(encodeMessage(decoded.value))).toEqual(decoded);
			}
		});
		fc.assert(property, { seed: 90, numRuns: 3000 });
	});

	it('[REC-90] carriesUpdate(frame) knows updates by their first bytes', () => {
		const updating = samples.filter((message) => carriesUpdate(encodeMessage(message))).map(({ type }) => type);
		expect(updating).toEqual(['sync-step-2', 'sync-update']);
	});
});

describe('frames(message, id) and FragmentAssembler', () => {
	const assemble = (parts: readonly Uint8Array[], assembler = new FragmentAssembler()) => {
		let whole: Uint8Array | null = null;
		for (const frame of parts) {
			const part = decodeMessage(frame);
			if (!part.ok || part.value.type !== 'fragment') throw new Error('no fragment');
			const added = assembler.add(part.value);
			if (!added.ok) return added;
			whole = added.value;
		}
		return { ok: true as const, value: whole };
	};

	it.each([FRAME_BYTES_MAX + 1, 3 * FRAME_BYTES_MAX, 1_000_003])(
		'[REC-91] a message of %i bytes travels in frames of at most 64 KiB and comes back whole',
		(length) => {
			const message = Uint8Array.from({ length }, (_, i) => (i * 31) & 255);
			const sent = frames(message, 1);
			if (!sent.ok) throw new Error('too big');
			expect(Math.max(...sent.value.map((frame) => frame.length))).toBeLessThanOrEqual(FRAME_BYTES_MAX);
			const whole = assemble(sent.value);
			expect(whole.ok && Buffer.compare(Buffer.from(whole.value ?? []), Buffer.from(message))).toBe(0);
		},
	);

	it('[REC-91] a message of up to 64 KiB is one frame, itself; over 16 MiB it is refused', () => {
		const message = new Uint8Array(FRAME_BYTES_MAX);
		expect(frames(message, 1)).toEqual({ ok: true, value: [message] });
		expect(frames(new Uint8Array(ASSEMBLED_BYTES_MAX + 1), 1)).toMatchObject({
			ok: false,
			problem: { code: 'too-big' },
		});
		const largest = frames(new Uint8Array(ASSEMBLED_BYTES_MAX), 1);
		const whole = largest.ok ? assemble(largest.value) : largest;
		expect(whole.ok && whole.value?.length).toBe(ASSEMBLED_BYTES_MAX);
	});

	it('[REC-91] refuses parts out of order, missing, mixed, repeated or of an older message', () => {
		const sent = frames(new Uint8Array(3 * FRAME_BYTES_MAX), 5);
		const [a, b, c, d] = sent.ok ? sent.value : [];
		const parts = [a, b, c, d] as [Uint8Array, Uint8Array, Uint8Array, Uint8Array];
		const orders = [[parts[1]], [parts[0], parts[2]], [parts[0], parts[0]], [parts[0], parts[1], parts[1]]];
		for (const order of orders) expect(assemble(order).ok).toBe(false);
		const assembler = new FragmentAssembler();
		expect(assemble(parts, assembler).ok).toBe(true);
		expect(assemble(parts, assembler)).toMatchObject({ ok: false, problem: { code: 'fragment-order' } });
	});

	it('[REC-91] refuses a count that no allowed message has, before keeping anything', () => {
		const part = { type: 'fragment', id: 1, index: 0, count: 10_000, bytes } as const;
		expect(new FragmentAssembler().add(part)).toMatchObject({ ok: false, problem: { code: 'too-big' } });
	});

	it('[REC-91] lays fragments out as docs/formats/wire.md says', () => {
		const frame = encodeMessage({ type: 'fragment', id: 300, index: 1, count: 2, bytes });
		const input = createDecoder(frame);
		const read = [
			readVarUint(input),
			readVarUint(input),
			readVarUint(input),
			readVarUint(input),
			readVarUint8Array(input),
		];
		expect(read).toEqual([102, 300, 1, 2, bytes]);
		expect(hasContent(input)).toBe(false);
	});
});

describe('access', () => {
	it('[REC-92] the ticket travels beside the subprotocol and is found only there', () => {
		expect(offeredProtocols('secret')).toEqual([SUBPROTOCOL, 'ticket.secret']);
		expect(ticketOf(offeredProtocols('secret'))).toBe('secret');
		expect(ticketOf(['ticket.secret'])).toBeNull();
		expect(ticketOf([SUBPROTOCOL])).toBeNull();
		expect(ticketOf([SUBPROTOCOL, 'ticket.'])).toBeNull();
	});

	it('[REC-92] what is signed for a ticket names host, record and nonce, and can be no entry', () => {
		expect(ticketText('host:4300', hash, 'nonce')).toBe(`stillmast ticket v1\nhost:4300\n${hash}\nnonce`);
		expect(syncPath(hash)).toBe(`/sync/${hash}`);
	});
});
