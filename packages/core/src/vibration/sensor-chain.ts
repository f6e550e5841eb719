import {
	angleOfDeg,
	type Complex,
	conjugate,
	divide,
	fromPolar,
	magnitude,
	multiply,
	wrap180,
} from '../phasor/index.js';
import { mmPerInch, mmPerS2PerG } from '../units/index.js';
import type { SignalChannel } from './setup.js';

export type ChainStep =
	| 'sensitivity'
	| 'high-pass'
	| 'low-pass'
	| 'sensor-resonance'
	| 'delay'
	| 'polarity'
	| 'integration';

/** One correction that was made: by how much the amplitude was multiplied and how far the lag was turned. */
export interface ChainCorrection {
	readonly step: ChainStep;
	readonly factor: number;
	readonly lagDeg: number;
}

export interface ChannelFactor {
	/** What a raw lag phasor is multiplied by to give peak velocity in ips. */
	readonly factor: Complex;
	readonly corrections: readonly ChainCorrection[];
}

const one: Complex = { re: 1, im: 0 };

/**
 * From a raw lag phasor to peak velocity in ips at one frequency: sensitivity, filters, sensor, delay, polarity and
 * integration, each listed. Responses are stated for e^{+iωt}; a lag phasor is the conjugate, so it is divided by the
 * conjugate of the response.
 * Rules: docs/rules/signals.md SIG-20 to SIG-26. Source: first- and second-order responses of any textbook.
 */
export function channelFactor(channel: SignalChannel, frequencyHz: number): ChannelFactor {
	const corrections: ChainCorrection[] = [];
	let factor = one;
	const apply = (step: ChainStep, by: Complex | null) => {
		if (!by) return;
		factor = multiply(factor, by);
		corrections.push({ step, factor: magnitude(by), lagDeg: wrap180(angleOfDeg(by)) });
	};
	const undo = (response: Complex) => divide(one, conjugate(response));
	const omega = 2 * Math.PI * frequencyHz;
	const acceleration = isAcceleration(channel);
	const sensitivity = channel.mVPerG ?? channel.mVPerIps;
	if (channel.quantity === 'mV' && sensitivity !== undefined) apply('sensitivity', { re: 1 / sensitivity, im: 0 });
	if (channel.quantity === 'mm/s') apply('sensitivity', { re: 1 / mmPerInch, im: 0 });
	if (channel.highPassHz !== undefined) apply('high-pass', undo(highPass(frequencyHz / channel.highPassHz)));
	if (channel.lowPassHz !== undefined) apply('low-pass', undo(lowPass(frequencyHz / channel.lowPassHz)));
	if (channel.naturalHz !== undefined && channel.damping !== undefined) {
		apply('sensor-resonance', undo(resonance(frequencyHz / channel.naturalHz, channel.damping, acceleration)));
	}
	// a column that is late shows its peak late: the lag of the motion itself is less
	if (channel.delayS) apply('delay', fromPolar(1, -360 * frequencyHz * channel.delayS));
	if (channel.polarity === -1) apply('polarity', { re: -1, im: 0 });
	// on lag phasors an integration is +i/ω
	if (acceleration) apply('integration', { re: 0, im: mmPerS2PerG / mmPerInch / omega });
	return { factor, corrections };
}

function isAcceleration(channel: SignalChannel): boolean {
	return channel.quantity === 'g' || (channel.quantity === 'mV' && channel.mVPerG !== undefined);
}

/** i·r/(1 + i·r): leads by atan(1/r). */
function highPass(r: number): Complex {
	return divide({ re: 0, im: r }, { re: 1, im: r });
}

/** 1/(1 + i·r): lags by atan(r). */
function lowPass(r: number): Complex {
	return divide(one, { re: 1, im: r });
}

/** Mass on a spring: below resonance an accelerometer, 1/(1 − r² + 2iζr); above it a velocity pickup, −r²/(1 − r² + 2iζr). */
function resonance(r: number, damping: number, acceleration: boolean): Complex {
	const bottom = { re: 1 - r * r, im: 2 * damping * r };
	return divide({ re: acceleration ? 1 : -r * r, im: 0 }, bottom);
}
