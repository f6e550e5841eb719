import { angleOfDeg, type Complex, magnitude, multiply } from '../phasor/index.js';
import { fail, ok, type Result } from '../result/index.js';
import { blockMean, blockRevolutions, type Stretch } from './block-mean.js';
import type { OrderReading, OrdersAnswer } from './orders-answer.js';
import { median } from './pulse-judge.js';
import { channelFactor } from './sensor-chain.js';
import type { SignalProblem, SignalSetup } from './setup.js';

/** One revolution as it was recorded: raw lag phasors, channel by channel and within it order by order. */
export interface RecordedRevolution {
	/** Number within the record; missing ones are counted. */
	readonly number: number;
	readonly samples: number;
	readonly phasors: readonly Complex[];
	readonly fault: 'missed-pulse' | 'gap' | null;
}

/** Chooses the steady revolutions and gives mean, spread and corrections of every channel and order. */
export function summarise(
	setup: SignalSetup,
	revolutions: readonly RecordedRevolution[],
	pulses: OrdersAnswer['pulses'],
): Result<OrdersAnswer, SignalProblem> {
	if (revolutions.length === 0)
		return fail({ code: 'no-pulses', found: pulses.found, needed: (setup.pulsesPerRev ?? 1) + 1, path: '$.pulse' });
	const usualSamples = median(revolutions.filter(({ fault }) => fault === null).map(({ samples }) => samples));
	const loose = (setup.steadyPct ?? 1) / 100;
	const steady = revolutions.filter(
		({ fault, samples }) => fault === null && Math.abs(usualSamples / samples - 1) <= loose,
	);
	if (steady.length < blockRevolutions) {
		return fail({ code: 'too-few-revolutions', found: steady.length, needed: blockRevolutions, path: '$' });
	}
	const stretches = stretchesOf(steady);
	const used = stretches.flatMap(({ start, length }) => steady.slice(start, start + length));
	const rpms = used.map(({ samples }) => (60 * setup.sampleRateHz) / samples);
	const meanSamples = used.reduce((sum, { samples }) => sum + samples, 0) / used.length;
	const turnHz = setup.sampleRateHz / meanSamples;
	const orders = setup.orders ?? [1];
	const highest = Math.max(...orders);
	const carried = Math.min(meanSamples, setup.pointsPerRev ?? Number.POSITIVE_INFINITY) / 2;
	if (highest >= carried)
		return fail({
			code: 'order-too-high',
			found: highest,
			needed: carried,
			path: `$.orders[${orders.indexOf(highest)}]`,
		});
	const faulty = (kind: RecordedRevolution['fault']) => revolutions.filter(({ fault }) => fault === kind).length;
	return ok({
		format: 'stillmast/orders@1',
		rpm: { mean: 60 * turnHz, min: rpms.reduce((a, b) => Math.min(a, b)), max: rpms.reduce((a, b) => Math.max(a, b)) },
		revolutions: {
			used: used.length,
			rejected: revolutions.length - used.length,
			because: {
				unsteady: faulty(null) - steady.length,
				missedPulse: faulty('missed-pulse'),
				gap: faulty('gap'),
				shortStretch: steady.length - used.length,
			},
		},
		pulses,
		phaseStepDeg: (setup.pulsesPerRev ?? 1) > 1 ? 360 / (setup.pulsesPerRev ?? 1) : 0,
		readings: setup.channels.flatMap((channel, c) =>
			orders.map((order, n): OrderReading => {
				const { factor, corrections } = channelFactor(channel, turnHz * order);
				const at = c * orders.length + n;
				const phasors = steady.map(({ phasors: raw }) => multiply(raw[at] ?? nothing, factor));
				const { mean, covariance, scatterFrom } = blockMean(phasors, stretches);
				return {
					channel: channel.id,
					order,
					amplitudeIps: magnitude(mean),
					phaseDeg: Number.isInteger(order) ? angleOfDeg(mean) : null,
					sdIps: Math.sqrt((covariance[0] + covariance[2]) / 2),
					covarianceIps2: covariance,
					scatterFrom,
					corrections,
				};
			}),
		),
	});
}

const nothing: Complex = { re: Number.NaN, im: Number.NaN };

/**
 * Runs of steady revolutions that follow each other, each long enough for a block. Where the speed wanders so much that
 * such runs hold less than half of them, all steady revolutions count as one run: less is gained against tones between
 * the orders, but the reading rests on more.
 */
function stretchesOf(steady: readonly RecordedRevolution[]): Stretch[] {
	const runs: Stretch[] = [];
	let start = 0;
	for (let k = 1; k <= steady.length; k++) {
		if (steady[k]?.number === (steady[k - 1] as RecordedRevolution).number + 1) continue;
		runs.push({ start, length: k - start });
		start = k;
	}
	const long = runs.filter(({ length }) => length >= blockRevolutions);
	const held = long.reduce((sum, { length }) => sum + length, 0);
	return held >= steady.length / 2 ? long : [{ start: 0, length: steady.length }];
}
