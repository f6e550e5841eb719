import { describe, expect, it } from 'vitest';
import { wrap180 } from '../src/phasor/index.js';
import {
	type OrdersAnswer,
	reduceSignals,
	type Samples,
	type SignalChannel,
	SignalReducer,
	type SignalSetup,
} from '../src/vibration/index.js';
import { okValue } from './published-vectors.js';
import { noisyRecording } from './rotor-recording.js';

const names = ['a', 'b', 'c', 'd'];
const setupOf = (more: Partial<SignalSetup> = {}): SignalSetup => ({
	format: 'stillmast/signals@1',
	sampleRateHz: 5000,
	channels: names.map((id) => ({ id, quantity: 'ips' })),
	pulse: { column: 'pulse', threshold: 2.5, hysteresis: 0.5, edge: 'centre' },
	orders: [1, 2, 3, 4],
	steadyPct: 2,
	...more,
});

/** Clean wave of one channel with a square pulse whose rising flank is the mark; turns(t) is the rotor angle in turns. */
function clean(
	lengthS: number,
	rateHz: number,
	turns: (t: number) => number,
	value: (turn: number, t: number) => number,
): Record<string, Float64Array> {
	const count = Math.round(lengthS * rateHz);
	const x = new Float64Array(count);
	const pulse = new Float64Array(count);
	for (let k = 0; k < count; k++) {
		const t = k / rateHz;
		const turn = turns(t);
		x[k] = value(turn, t);
		const within = turn - Math.floor(turn);
		// flanks one hundredth of a turn long, so that the crossing at half height falls on the mark
		pulse[k] = within < 0.005 ? 0.5 + within / 0.01 : within < 0.1 ? 1 : within > 0.995 ? (within - 0.995) / 0.01 : 0;
	}
	return { x, pulse };
}
const oneChannel = (channel: Partial<SignalChannel> = {}, more: Partial<SignalSetup> = {}): SignalSetup => ({
	format: 'stillmast/signals@1',
	sampleRateHz: 2000,
	channels: [{ id: 'x', quantity: 'ips', ...channel }],
	pulse: { column: 'pulse', threshold: 0.5, hysteresis: 0.2 },
	...more,
});
const cosine =
	(amplitude: number, lagDeg: number, order = 1) =>
	(turn: number) =>
		amplitude * Math.cos(2 * Math.PI * order * turn - (lagDeg * Math.PI) / 180);

describe('reduceSignals', () => {
	it('gives amplitude and lag of the invented noisy recording within 4 of its own sds, and the sd is the size of the error', () => {
		const worst: number[] = [];
		let squares = 0;
		let count = 0;
		for (const seed of [1, 2, 3, 4]) {
			const recording = noisyRecording(seed);
			const answer = okValue(reduceSignals(setupOf({ pointsPerRev: 512 }), recording.columns));
			expect(answer.revolutions.used).toBeGreaterThanOrEqual(387);
			for (const reading of answer.readings) {
				const truth = recording.truth[reading.channel]?.find(({ order }) => order === reading.order);
				if (!truth) throw new Error('every reading has a truth');
				const across = ((wrap180((reading.phaseDeg ?? Number.NaN) - truth.phaseDeg) * Math.PI) / 180) * truth.amplitude;
				const along = reading.amplitudeIps - truth.amplitude;
				worst.push(Math.hypot(along, across) / reading.sdIps);
				squares += (along ** 2 + across ** 2) / 2 / reading.sdIps ** 2;
				count++;
			}
		}
		expect(Math.max(...worst)).toBeLessThan(4);
		expect(Math.sqrt(squares / count)).toBeGreaterThan(0.8);
		expect(Math.sqrt(squares / count)).toBeLessThan(1.25);
	});
	it('[SIG-1] states lag: a peak a quarter turn after the pulse reads 90°', () => {
		const answer = okValue(
			reduceSignals(
				oneChannel(),
				clean(20, 2000, (t) => 5 * t, cosine(0.3, 90)),
			),
		);
		expect(answer.readings[0]).toMatchObject({ channel: 'x', order: 1, amplitudeIps: expect.closeTo(0.3, 5) });
		expect(answer.readings[0]?.phaseDeg).toBeCloseTo(90, 1);
		expect(answer.rpm.mean).toBeCloseTo(300, 6);
	});
	it('[SIG-2] integrates: an acceleration that peaks at the pulse is a velocity of 61.448/f ips per g with 90° lag', () => {
		const answer = okValue(
			reduceSignals(
				oneChannel({ quantity: 'g' }),
				clean(20, 2000, (t) => 5 * t, cosine(0.1, 0)),
			),
		);
		expect(answer.readings[0]?.amplitudeIps).toBeCloseTo((0.1 * 61.44790640804903) / 5, 4);
		expect(answer.readings[0]?.phaseDeg).toBeCloseTo(90, 1);
		expect(answer.readings[0]?.corrections.map(({ step }) => step)).toEqual(['integration']);
	});
	it('[SIG-20] [SIG-21] [SIG-23] gives back what went in through a chain of sensor, high-pass, low-pass and delay', () => {
		const hz = 5;
		// the chain applied to a pure velocity of 0.3 ips at lag 40°, written out for e^{+iωt}
		const leads = Math.atan(1 / hz) - Math.atan(hz / 60) - 2 * Math.PI * hz * 0.004;
		const gain = (1 / Math.hypot(1, 1 / hz) / Math.hypot(1, hz / 60)) * 50;
		const wave = cosine(0.3 * gain, 40 - (leads * 180) / Math.PI);
		const chain = { quantity: 'mV', mVPerIps: 50, highPassHz: 1, lowPassHz: 60, delayS: 0.004 } as const;
		const answer = okValue(
			reduceSignals(
				oneChannel(chain),
				clean(20, 2000, (t) => hz * t, wave),
			),
		);
		expect(answer.readings[0]?.amplitudeIps).toBeCloseTo(0.3, 4);
		expect(answer.readings[0]?.phaseDeg).toBeCloseTo(40, 1);
	});
	it('[SIG-14] leaves out revolutions whose speed is off, and says how many', () => {
		// 12 s at 5 Hz, 4 s at 5.5 Hz, 12 s at 5 Hz
		const turns = (t: number) => (t < 12 ? 5 * t : t < 16 ? 60 + 5.5 * (t - 12) : 82 + 5 * (t - 16));
		const answer = okValue(reduceSignals(oneChannel(), clean(28, 2000, turns, cosine(0.3, 200))));
		expect(answer.revolutions.because.unsteady).toBe(22);
		expect(answer.revolutions.used).toBeGreaterThanOrEqual(117);
		expect(answer.rpm.max).toBeLessThan(303);
		expect(answer.readings[0]?.phaseDeg).toBeCloseTo(200, 1);
	});
	it('[SIG-14] still reads when the speed wanders so much that no 30 steady revolutions follow each other', () => {
		// ± 2 % in 10 s: about a third of the revolutions are within 1 %, some 15 at a time
		const turns = (t: number) => 5 * t + (0.02 * 5 * 10 * (1 - Math.cos((2 * Math.PI * t) / 10))) / (2 * Math.PI);
		const answer = okValue(reduceSignals(oneChannel(), clean(60, 2000, turns, cosine(0.3, 200))));
		expect(answer.revolutions.used).toBeGreaterThan(60);
		expect(answer.revolutions.used).toBeLessThan(180);
		expect(answer.readings[0]?.amplitudeIps).toBeCloseTo(0.3, 4);
		expect(answer.readings[0]?.phaseDeg).toBeCloseTo(200, 1);
	});
	it('[SIG-12] [SIG-13] survives missed and double pulses: the same reading, and the counts are told', () => {
		const columns = clean(30, 2000, (t) => 5 * t, cosine(0.3, 200));
		const pulse = columns.pulse as Float64Array;
		// turn 70 loses its pulse, turn 100 gets a second one
		pulse.fill(0, 70 * 400 - 30, 70 * 400 + 60);
		pulse.fill(1, 100 * 400 + 130, 100 * 400 + 140);
		const answer = okValue(reduceSignals(oneChannel(), columns));
		expect(answer.pulses).toMatchObject({ missed: 1, double: 1 });
		expect(answer.revolutions.because.missedPulse).toBe(2);
		expect(answer.readings[0]?.amplitudeIps).toBeCloseTo(0.3, 5);
		expect(answer.readings[0]?.phaseDeg).toBeCloseTo(200, 1);
	});
	it('leaves out revolutions with missing samples (gap) and goes on after them', () => {
		const columns = clean(30, 2000, (t) => 5 * t, cosine(0.3, 200));
		(columns.x as Float64Array).fill(Number.NaN, 20_000, 20_500);
		const answer = okValue(reduceSignals(oneChannel(), columns));
		expect(answer.revolutions.because.gap).toBeGreaterThanOrEqual(2);
		expect(answer.readings[0]?.amplitudeIps).toBeCloseTo(0.3, 5);
	});
	it('takes pulses as times, and a pulse delay, to the same reading as the column', () => {
		const columns = clean(20, 2000, (t) => 5 * t, cosine(0.3, 90));
		const timesS = Array.from({ length: 99 }, (_, k) => (k + 1) / 5);
		const byTimes = okValue(reduceSignals(oneChannel({}, { pulse: { timesS } }), columns));
		expect(byTimes.readings[0]?.phaseDeg).toBeCloseTo(90, 3);
		const late = timesS.map((t) => t + 0.01);
		const corrected = okValue(reduceSignals(oneChannel({}, { pulse: { timesS: late, delayS: 0.01 } }), columns));
		expect(corrected.readings[0]?.phaseDeg).toBeCloseTo(90, 3);
	});
	it('reads amplitude only of an order that is no whole number, through a clean gear ratio', () => {
		const ratio = 5.137;
		const answer = okValue(
			reduceSignals(
				oneChannel({}, { orders: [1, ratio] }),
				clean(
					40,
					2000,
					(t) => 5 * t,
					(turn) => cosine(0.3, 10)(turn) + cosine(0.2, 77, ratio)(turn),
				),
			),
		);
		expect(answer.readings[1]).toMatchObject({ order: ratio, phaseDeg: null });
		expect(answer.readings[1]?.amplitudeIps).toBeCloseTo(0.2, 3);
		expect(answer.readings[0]?.amplitudeIps).toBeCloseTo(0.3, 3);
	});
	it('joins several pulses per revolution and says by which angle the phase may be off', () => {
		const columns = clean(
			30,
			2000,
			(t) => 10 * t,
			(turn) => cosine(0.3, 60)(turn / 2),
		);
		const answer = okValue(reduceSignals(oneChannel({}, { pulsesPerRev: 2 }), columns));
		expect(answer.phaseStepDeg).toBe(180);
		expect(answer.rpm.mean).toBeCloseTo(300, 6);
		const away = wrap180((answer.readings[0]?.phaseDeg ?? Number.NaN) - 60);
		expect(Math.min(Math.abs(away), Math.abs(wrap180(away - 180)))).toBeLessThan(0.1);
		expect(answer.readings[0]?.amplitudeIps).toBeCloseTo(0.3, 4);
	});
	it('refuses: missing and uneven columns, no pulses, too short a record, an order beyond the sample rate', () => {
		const columns = clean(5, 2000, (t) => 5 * t, cosine(0.3, 90));
		expect(reduceSignals(oneChannel(), { x: columns.x as Samples })).toMatchObject({
			problem: { code: 'missing-column', needed: 'pulse' },
		});
		expect(reduceSignals(oneChannel(), { ...columns, pulse: new Float64Array(3) })).toMatchObject({
			problem: { code: 'uneven-columns' },
		});
		expect(reduceSignals(oneChannel(), { ...columns, pulse: new Float64Array(10_000) })).toMatchObject({
			problem: { code: 'no-pulses', found: 0 },
		});
		expect(reduceSignals(oneChannel(), columns)).toMatchObject({
			problem: { code: 'too-few-revolutions', needed: 30 },
		});
		const long = clean(20, 2000, (t) => 5 * t, cosine(0.3, 90));
		expect(reduceSignals(oneChannel({}, { orders: [1, 250] }), long)).toMatchObject({
			problem: { code: 'order-too-high', found: 250, path: '$.orders[1]' },
		});
	});
	it('refuses a setup that cannot be, with the path', () => {
		const refused = (setup: SignalSetup) => {
			const result = reduceSignals(setup, {});
			return result.ok ? null : result.problem.path;
		};
		expect(refused(oneChannel({}, { sampleRateHz: 0 }))).toBe('$.sampleRateHz');
		expect(refused(oneChannel({ quantity: 'mV' }))).toBe('$.channels[0]');
		expect(refused(oneChannel({ quantity: 'mV', mVPerG: 0 }))).toBe('$.channels[0].mVPerG');
		expect(refused(oneChannel({ naturalHz: 5 }))).toBe('$.channels[0]');
		expect(refused(oneChannel({}, { orders: [1, Number.NaN] }))).toBe('$.orders[1]');
		expect(refused(oneChannel({}, { pulse: { timesS: [1, 1] } }))).toBe('$.pulse.timesS[1]');
		expect(refused(oneChannel({}, { pulsesPerRev: 1.5 }))).toBe('$.pulsesPerRev');
		expect(refused(oneChannel({}, { channels: [] }))).toBe('$.channels');
	});
});

describe('SignalReducer', () => {
	const through = (setup: SignalSetup, columns: Readonly<Record<string, Samples>>, size: number): OrdersAnswer => {
		const reducer = okValue(SignalReducer.start(setup));
		const length = Object.values(columns)[0]?.length ?? 0;
		for (let at = 0; at < length; at += size) {
			okValue(
				reducer.push(
					Object.fromEntries(Object.entries(columns).map(([name, column]) => [name, column.subarray(at, at + size)])),
				),
			);
		}
		return okValue(reducer.finish());
	};
	it('gives the same answer whatever the pieces (1e-9)', () => {
		const { columns } = noisyRecording(6, 20);
		const whole = okValue(reduceSignals(setupOf(), columns));
		for (const size of [333, 4096, 50_000]) {
			const pieces = through(setupOf(), columns, size);
			expect(pieces.revolutions).toEqual(whole.revolutions);
			pieces.readings.forEach((reading, k) => {
				expect(reading.amplitudeIps).toBeCloseTo(whole.readings[k]?.amplitudeIps ?? Number.NaN, 9);
				expect(reading.phaseDeg).toBeCloseTo(whole.readings[k]?.phaseDeg ?? Number.NaN, 7);
			});
		}
	});
	it('takes an hour of 4 channels at 5 kHz in bounded memory: under 60 MB more than before, where the samples are 360 MB', () => {
		const second = noisyRecording(7, 2);
		const reducer = okValue(SignalReducer.start(setupOf({ orders: [1], steadyPct: 100, pointsPerRev: 64 })));
		const before = process.memoryUsage();
		let most = 0;
		for (let at = 0; at < 1800; at++) {
			okValue(reducer.push(second.columns));
			const now = process.memoryUsage();
			most = Math.max(most, now.arrayBuffers - before.arrayBuffers + now.heapUsed - before.heapUsed);
		}
		const answer = okValue(reducer.finish());
		expect(answer.revolutions.used + answer.revolutions.rejected).toBeGreaterThan(20_000);
		expect(most / 1e6).toBeLessThan(60);
	}, 60_000);
});
