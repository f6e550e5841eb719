import { Buffer } from 'node:buffer';
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type RecordingKind, reduceRecording, type SignalSetupDocument } from '../src/signals/index.js';

const setup: SignalSetupDocument = {
	format: 'stillmast/signals@1',
	sampleRateHz: 1000,
	channels: [{ id: 'lat', quantity: 'mV', mVPerG: 100 }],
	pulse: { column: 'tacho', threshold: 0.5, hysteresis: 0.1 },
};
const kinds: readonly RecordingKind[] = ['csv', 'wav', 'uff'];
const uff = readFileSync(new URL('../../../tests/data/uff58-samples/time13_ascii58.uff', import.meta.url));
const wav = Buffer.concat([
	Buffer.from('RIFF....WAVEfmt '),
	Buffer.from([16, 0, 0, 0, 1, 0, 2, 0, 0xe8, 3, 0, 0, 0, 0, 0, 0, 4, 0, 16, 0]),
	Buffer.from('data\x40\0\0\0'),
	Buffer.alloc(64, 7),
]);
const csv = Buffer.from('lat,tacho\n1,0\n2,1\n3,0\n');

/** Every outcome is an answer whose numbers are finite, or a problem with a code and a path. */
async function expectTold(kind: RecordingKind, pieces: readonly Uint8Array[]) {
	const result = await reduceRecording(kind, setup, pieces);
	if (result.ok) {
		for (const { amplitudeIps, sdIps } of result.value.readings)
			expect([amplitudeIps, sdIps].every(Number.isFinite)).toBe(true);
		return;
	}
	expect(result.problem.code).toMatch(/^[a-z-]+$/);
	expect(result.problem.path.length).toBeGreaterThan(0);
	expect(JSON.stringify(result.problem).length).toBeLessThan(500);
}

describe('recordings that are noise, cut or damaged', () => {
	it('random bytes of any length in any pieces are told, never thrown (property)', async () => {
		const pieces = fc.array(fc.uint8Array({ maxLength: 300 }), { maxLength: 6 });
		await fc.assert(fc.asyncProperty(fc.constantFrom(...kinds), pieces, expectTold), { numRuns: 300 });
	});
	it('real files with bytes changed or the end cut off are told, never thrown (property)', async () => {
		const files: Readonly<Record<RecordingKind, Buffer>> = { csv, wav, uff };
		const change = fc.tuple(fc.nat(), fc.nat({ max: 255 }));
		await fc.assert(
			fc.asyncProperty(
				fc.constantFrom(...kinds),
				fc.array(change, { maxLength: 5 }),
				fc.nat(),
				async (kind, changes, cut) => {
					const file = new Uint8Array(files[kind]);
					for (const [at, byte] of changes) file[at % file.length] = byte;
					await expectTold(kind, [file.subarray(0, file.length - (cut % 40))]);
				},
			),
			{ numRuns: 500 },
		);
	});
	it('samples at the edge of what a double holds give no NaN', async () => {
		const rows = Array.from({ length: 4000 }, (_, k) => `${k % 3 === 0 ? 1e308 : -1e308},${k % 100 < 10 ? 1 : 0}`).join(
			'\n',
		);
		await expectTold('csv', [Buffer.from(`lat,tacho\n${rows}\n`)]);
	});
});
