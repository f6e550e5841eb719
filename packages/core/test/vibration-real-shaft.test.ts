import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { leastSquares } from '../src/linear/index.js';
import { degPerRad, wrap180 } from '../src/phasor/index.js';
import { reduceSignals } from '../src/vibration/index.js';
import { okValue } from './published-vectors.js';

const source =
	'[mrl-anomaly, RoSA shaft records, BSD-3-Clause, tests/data/rosa-shaft-imu; basis: published measurement]';
const rateHz = 250;

interface Shaft {
	readonly timesS: readonly number[];
	/** Angle turned, in radians, growing. */
	readonly turned: readonly number[];
	readonly acceleration: readonly number[];
	readonly encoderRpm: readonly number[];
}

/** Times, shaft angle and one shaft-fixed acceleration of a record; the angle is made to grow. */
function shaft(name: string): Shaft {
	const text = readFileSync(new URL(`../../../tests/data/rosa-shaft-imu/${name}.csv`, import.meta.url), 'utf8');
	const [head = '', ...lines] = text.trim().split('\n');
	const columns = head.trim().split(',');
	const rows = lines.map((line) => line.split(',').map(Number));
	const column = (id: string) => rows.map((row) => row[columns.indexOf(id)] ?? Number.NaN);
	const [w, y, ms] = [column('quat_w'), column('quat_y'), column('time_ms')];
	const turned: number[] = [];
	w.forEach((qw, k) => {
		const angle = -2 * Math.atan2(y[k] ?? Number.NaN, qw);
		const before = turned[k - 1] ?? angle;
		turned.push(before + wrap180((angle - before) * degPerRad) / degPerRad);
	});
	return {
		timesS: ms.map((t) => (t - (ms[0] ?? 0)) / 1000),
		turned,
		acceleration: column('acc_x'),
		encoderRpm: column('enc_rpm'),
	};
}

/** Value of a record at a time, on the straight line between its neighbours. */
function at(record: Shaft, values: readonly number[], timeS: number): number {
	const after = record.timesS.findIndex((t) => t >= timeS);
	if (after <= 0) return values[0] ?? Number.NaN;
	const [t0 = 0, t1 = 1] = [record.timesS[after - 1], record.timesS[after]];
	const [v0 = Number.NaN, v1 = Number.NaN] = [values[after - 1], values[after]];
	return v0 + ((v1 - v0) * (timeS - t0)) / (t1 - t0);
}

/** Times at which the measured angle passes whole turns, between two stamps by a straight line. */
function marksOf(record: Shaft): readonly number[] {
	return record.turned.flatMap((angle, k) => {
		const before = record.turned[k - 1];
		const whole = Math.floor(angle / (2 * Math.PI));
		if (before === undefined || whole === Math.floor(before / (2 * Math.PI))) return [];
		const [t0 = 0, t1 = 0] = [record.timesS[k - 1], record.timesS[k]];
		return [t0 + ((whole * 2 * Math.PI - before) / (angle - before)) * (t1 - t0)];
	});
}

function reduced(record: Shaft) {
	const count = Math.floor((record.timesS.at(-1) ?? 0) * rateHz);
	const even = Float64Array.from({ length: count }, (_, k) => at(record, record.acceleration, k / rateHz));
	return reduceSignals(
		{
			format: 'stillmast/signals@1',
			sampleRateHz: rateHz,
			// the unit does not matter here: the numbers are taken as they stand
			channels: [{ id: 'x', quantity: 'ips' }],
			pulse: { timesS: marksOf(record) },
			steadyPct: 60,
		},
		{ x: even },
	);
}

describe('reduceSignals on a real shaft at 190 to 290 rpm with irregular time stamps', () => {
	// the host's stamps are 15 to 25 ms apart and jitter, which is up to 30° of shaft angle: both ways see it differently
	for (const name of ['healthy101', 'n205', 'n209']) {
		it(`${name}: gravity once per rev agrees with least squares on the raw samples within the stamps' jitter (10 %, 8°) ${source}`, () => {
			const record = shaft(name);
			const answer = okValue(reduced(record));
			const fit = okValue(
				leastSquares(
					record.turned.map((angle) => [1, Math.cos(angle), Math.sin(angle)]),
					record.acceleration,
				),
			);
			const [, c = Number.NaN, s = Number.NaN] = fit.coefficients;
			const [reading] = answer.readings;
			expect(Math.abs((reading?.amplitudeIps ?? Number.NaN) / Math.hypot(c, s) - 1)).toBeLessThan(0.1);
			expect(Math.abs(wrap180((reading?.phaseDeg ?? Number.NaN) - Math.atan2(s, c) * degPerRad))).toBeLessThan(8);
			// the record's own encoder reads 3 to 4 % above the turns of its angle, in every file
			const encoder = record.encoderRpm.reduce((sum, rpm) => sum + rpm, 0) / record.encoderRpm.length;
			expect(Math.abs(answer.rpm.mean / encoder - 1)).toBeLessThan(0.05);
		});
	}
	it(`n203: refuses 26 steady revolutions where 30 are needed ${source}`, () => {
		expect(reduced(shaft('n203'))).toMatchObject({ problem: { code: 'too-few-revolutions', found: 26, needed: 30 } });
	});
});
