import { describe, expect, it } from 'vitest';
import { angleOfDeg, magnitude, wrap180 } from '../src/phasor/index.js';
import { channelFactor, type SignalChannel } from '../src/vibration/index.js';

const channel = (more: Partial<SignalChannel>): SignalChannel => ({ id: 'lat', quantity: 'ips', ...more });
const turned = (more: Partial<SignalChannel>, hz: number) => {
	const { factor, corrections } = channelFactor(channel(more), hz);
	return { times: magnitude(factor), lagDeg: wrap180(angleOfDeg(factor)), steps: corrections.map(({ step }) => step) };
};

describe('channelFactor', () => {
	it('leaves a velocity in ips as it is and lists nothing', () => {
		expect(turned({}, 4.3)).toEqual({ times: 1, lagDeg: 0, steps: [] });
	});
	it('[SIG-20] a 1 Hz high-pass leads by 13° at 4.3 Hz, so the true lag is 13° more [design figure; first-order response, basis: textbook]', () => {
		const { times, lagDeg, steps } = turned({ highPassHz: 1 }, 4.3);
		expect(lagDeg).toBeCloseTo((Math.atan(1 / 4.3) * 180) / Math.PI, 9);
		expect(Math.round(lagDeg)).toBe(13);
		expect(times).toBeCloseTo(Math.hypot(1, 1 / 4.3), 12);
		expect(steps).toEqual(['high-pass']);
	});
	it('[SIG-21] a 100 Hz low-pass lags, so the true lag is less', () => {
		const { times, lagDeg } = turned({ lowPassHz: 100 }, 4.3);
		expect(lagDeg).toBeCloseTo((-Math.atan(0.043) * 180) / Math.PI, 9);
		expect(times).toBeCloseTo(Math.hypot(1, 0.043), 12);
	});
	it('[SIG-22] at its natural frequency a velocity pickup leads by 90° and shows 1/(2ζ), an accelerometer lags by 90°', () => {
		expect(turned({ naturalHz: 10, damping: 0.6 }, 10)).toMatchObject({
			times: expect.closeTo(1.2, 12),
			lagDeg: expect.closeTo(90, 9),
		});
		const accelerometer = turned({ quantity: 'g', naturalHz: 10, damping: 0.6 }, 10);
		const bare = turned({ quantity: 'g' }, 10);
		expect(accelerometer.times / bare.times).toBeCloseTo(1.2, 12);
		expect(wrap180(accelerometer.lagDeg - bare.lagDeg)).toBeCloseTo(-90, 9);
	});
	it('[SIG-22] far above its natural frequency a velocity pickup, far below an accelerometer, need no correction (0.1 %)', () => {
		expect(turned({ naturalHz: 1, damping: 0.6 }, 1000).times).toBeCloseTo(1, 3);
		expect(
			turned({ quantity: 'g', naturalHz: 5000, damping: 0.05 }, 5).times / turned({ quantity: 'g' }, 5).times,
		).toBeCloseTo(1, 3);
	});
	it('[SIG-23] a column that is 10 ms late takes 15.48° off the lag at 4.3 Hz', () => {
		expect(turned({ delayS: 0.01 }, 4.3).lagDeg).toBeCloseTo(-15.48, 9);
	});
	it('[SIG-2] acceleration in g becomes velocity: 61.448/f ips per g and 90° more lag, also from mV', () => {
		expect(turned({ quantity: 'g' }, 10)).toMatchObject({
			times: expect.closeTo(6.1447906, 6),
			lagDeg: expect.closeTo(90, 12),
			steps: ['integration'],
		});
		expect(turned({ quantity: 'mV', mVPerG: 100 }, 10)).toMatchObject({
			times: expect.closeTo(0.061447906, 8),
			steps: ['sensitivity', 'integration'],
		});
		expect(turned({ quantity: 'mV', mVPerIps: 50 }, 10)).toMatchObject({
			times: 0.02,
			lagDeg: 0,
			steps: ['sensitivity'],
		});
		expect(turned({ quantity: 'mm/s' }, 10).times).toBeCloseTo(1 / 25.4, 12);
	});
	it('[SIG-5] reversed polarity is half a turn, and all steps together multiply', () => {
		expect(Math.abs(turned({ polarity: -1 }, 10).lagDeg)).toBeCloseTo(180, 9);
		const all = {
			quantity: 'mV',
			mVPerIps: 50,
			highPassHz: 2,
			lowPassHz: 80,
			naturalHz: 5,
			damping: 0.7,
			delayS: 0.001,
			polarity: -1,
		} as const;
		const { factor, corrections } = channelFactor(channel(all), 6.5);
		expect(corrections).toHaveLength(6);
		expect(corrections.reduce((product, step) => product * step.factor, 1)).toBeCloseTo(magnitude(factor), 12);
		expect(wrap180(corrections.reduce((sum, step) => sum + step.lagDeg, 0) - angleOfDeg(factor))).toBeCloseTo(0, 9);
	});
});
