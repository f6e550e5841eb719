import { Buffer } from 'node:buffer';
import type { OrdersAnswer } from '@stillmast/core/vibration';
import { describe, expect, it } from 'vitest';
import {
	columnsOf,
	readSignalSetup,
	recordingKindOf,
	reduceRecording,
	type SignalSetupDocument,
} from '../src/signals/index.js';

const rateHz = 1000;
const lengthS = 12;
const turnHz = 5;
/** Invented rotor: 0.3 ips at a lag of 40°, order 2 of 0.1 ips at 300°; pulse at the beginning of each turn. */
const samples = Array.from({ length: rateHz * lengthS }, (_, k) => {
	const turn = (turnHz * k) / rateHz + 0.5;
	const angle = 2 * Math.PI * turn;
	const lat = 0.3 * Math.cos(angle - (40 * Math.PI) / 180) + 0.1 * Math.cos(2 * angle - (300 * Math.PI) / 180);
	const within = turn - Math.floor(turn);
	return {
		lat,
		pulse: within < 0.005 ? 0.5 + within / 0.01 : within < 0.1 ? 1 : within > 0.995 ? (within - 0.995) / 0.01 : 0,
	};
});
const setup: SignalSetupDocument = {
	format: 'stillmast/signals@1',
	sampleRateHz: rateHz,
	channels: [{ id: 'lat', quantity: 'ips' }],
	pulse: { column: 'tacho', threshold: 0.5, hysteresis: 0.2 },
	orders: [1, 2],
	wav: { channels: ['lat', null, 'tacho'], fullScale: [2, 1, 2] },
};

const csv = Buffer.from(
	`timeS,tacho,spare,lat\n${samples.map(({ lat, pulse }, k) => `${k / rateHz},${pulse.toFixed(6)},,${lat.toFixed(9)}`).join('\n')}\n`,
);

function wavFile(): Buffer {
	const data = Buffer.alloc(samples.length * 9);
	samples.forEach(({ lat, pulse }, k) => {
		data.writeIntLE(Math.round((lat / 2) * 2 ** 23), k * 9, 3);
		data.writeIntLE(Math.round((pulse / 2) * 2 ** 23), k * 9 + 6, 3);
	});
	const head = Buffer.alloc(44);
	head.write('RIFF', 0);
	head.write('WAVEfmt ', 8);
	head.writeUInt32LE(16, 16);
	head.writeUInt16LE(1, 20);
	head.writeUInt16LE(3, 22);
	head.writeUInt32LE(rateHz, 24);
	head.writeUInt16LE(24, 34);
	head.write('data', 36);
	head.writeUInt32LE(data.length, 40);
	return Buffer.concat([head, data]);
}

function uffFile(stepS = 1 / rateHz): Buffer {
	const dataset = (values: readonly number[]) =>
		[
			'    -1',
			'    58',
			...['made', 'for', 'this', 'test', 'only'],
			'    1         0    0         0 NONE                 0   0 NONE               0   0',
			`         4${String(values.length).padStart(10)}         1  0.0 ${stepS.toExponential(5)}  0.0`,
			...new Array(4).fill('         0    0    0    0 NONE                 NONE'),
			...values.map((value) => value.toExponential(12)),
			'    -1',
			'',
		].join('\n');
	return Buffer.from(dataset(samples.map(({ lat }) => lat)) + dataset(samples.map(({ pulse }) => pulse)));
}

function* pieces(file: Uint8Array, size: number) {
	for (let at = 0; at < file.length; at += size) yield file.subarray(at, at + size);
}

function expectTruth(answer: OrdersAnswer) {
	expect(answer.rpm.mean).toBeCloseTo(300, 3);
	const [first, second] = answer.readings;
	expect(first?.amplitudeIps).toBeCloseTo(0.3, 4);
	expect(first?.phaseDeg).toBeCloseTo(40, 1);
	expect(second?.amplitudeIps).toBeCloseTo(0.1, 4);
	expect(second?.phaseDeg).toBeCloseTo(300, 1);
}

describe('reduceRecording', () => {
	for (const [kind, file] of [
		['csv', csv],
		['wav', wavFile()],
		['uff', uffFile()],
	] as const) {
		it(`gives amplitude and lag of the invented rotor from a ${kind} file, in pieces of any size`, async () => {
			for (const size of [777, 1 << 16]) {
				const answer = await reduceRecording(kind, setup, pieces(file, size));
				if (!answer.ok) throw new Error(JSON.stringify(answer.problem));
				expectTruth(answer.value);
			}
		});
	}
	it('hands on the problem of the file or of the signals', async () => {
		expect(await reduceRecording('csv', setup, pieces(Buffer.from('a,b\n1,2\n'), 99))).toMatchObject({
			problem: { code: 'missing-column' },
		});
		expect(await reduceRecording('csv', setup, pieces(csv.subarray(0, 50_000), 9999))).toMatchObject({
			problem: { code: 'too-few-revolutions' },
		});
		expect(await reduceRecording('uff', setup, pieces(uffFile(0.002), 9999))).toMatchObject({
			problem: { code: 'sample-rate-differs', found: '500 Hz' },
		});
		expect(
			await reduceRecording('uff', { ...setup, uff: { datasets: ['lat', null, 'tacho'] } }, pieces(uffFile(), 1e6)),
		).toMatchObject({
			problem: { code: 'missing-column', needed: 'a dataset 3' },
		});
		expect(await reduceRecording('wav', setup, pieces(csv, 9999))).toMatchObject({
			problem: { code: 'not-this-format' },
		});
	});
	it('holds a long CSV in bounded memory: 5 minutes of 4 channels at 5 kHz (68 MB of text) in under 60 MB', async () => {
		const rows = Array.from(
			{ length: 5000 },
			(_, k) =>
				`${(k % 1000) / 1000 < 0.1 ? 1 : 0},${[1, 2, 3, 4].map((c) => Math.cos((2 * Math.PI * k) / 1000 + c).toFixed(6)).join(',')}\n`,
		).join('');
		const second = Buffer.from(rows);
		const four: SignalSetupDocument = {
			format: 'stillmast/signals@1',
			sampleRateHz: 5000,
			channels: ['a', 'b', 'c', 'd'].map((id) => ({ id, quantity: 'ips' })),
			pulse: { column: 'p', threshold: 0.5, hysteresis: 0.2 },
		};
		const before = process.memoryUsage();
		let most = 0;
		function* file() {
			yield Buffer.from('p,a,b,c,d\n');
			for (let k = 0; k < 300; k++) {
				yield second;
				const now = process.memoryUsage();
				most = Math.max(most, now.arrayBuffers - before.arrayBuffers + now.heapUsed - before.heapUsed);
			}
		}
		const answer = await reduceRecording('csv', four, file());
		expect(answer).toMatchObject({ value: { revolutions: { used: 1498, rejected: 0 } } });
		expect(most / 1e6).toBeLessThan(60);
	}, 60_000);
});

describe('the setup of a recording', () => {
	it('reads the contract, and names what is wrong in it with its path', () => {
		expect(readSignalSetup(JSON.parse(JSON.stringify(setup)))).toMatchObject({ ok: true });
		expect(readSignalSetup({ ...setup, sampleRateHz: 0 })).toMatchObject({ problem: { path: '$.sampleRateHz' } });
		expect(readSignalSetup({ ...setup, channels: [{ id: 'lat', quantity: 'furlong' }] })).toMatchObject({
			problem: { path: '$.channels[0].quantity' },
		});
		expect(readSignalSetup({ ...setup, colour: 'red' })).toMatchObject({ problem: { code: 'unknown-field' } });
		expect(readSignalSetup({ ...setup, channels: [{ id: 'tacho', quantity: 'ips' }] })).toMatchObject({
			problem: { path: '$.channels[0].id' },
		});
		expect(readSignalSetup({ ...setup, pulse: { timesS: [0, 1] } })).toMatchObject({ ok: true });
	});
	it('asks for the channels and the pulse column, and tells the kind of a file by its ending', () => {
		expect(columnsOf(setup)).toEqual(['lat', 'tacho']);
		expect(columnsOf({ ...setup, pulse: { timesS: [1] } })).toEqual(['lat']);
		expect(['run.WAV', 'run.uff', 'run.unv', 'run.csv', 'run'].map(recordingKindOf)).toEqual([
			'wav',
			'uff',
			'uff',
			'csv',
			'csv',
		]);
	});
});
