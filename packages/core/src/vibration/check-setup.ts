import { fail, ok, type Result } from '../result/index.js';
import type { SignalChannel, SignalProblem, SignalSetup } from './setup.js';

/** Refuses a setup that cannot be worked with: `bad-setup`, with the path of what is wrong. */
export function checkSetup(setup: SignalSetup): Result<SignalSetup, SignalProblem> {
	const wrong =
		positive(setup.sampleRateHz, '$.sampleRateHz') ??
		whole(setup.pulsesPerRev ?? 1, 1, '$.pulsesPerRev') ??
		positive(setup.steadyPct ?? 1, '$.steadyPct') ??
		whole(setup.pointsPerRev ?? 512, 8, '$.pointsPerRev') ??
		firstWrong(setup.orders ?? [1], (order, k) => positive(order, `$.orders[${k}]`)) ??
		(setup.channels.length === 0 ? bad(0, 'at least one channel', '$.channels') : undefined) ??
		firstWrong(setup.channels, (channel, k) => wrongChannel(channel, `$.channels[${k}]`)) ??
		wrongPulse(setup);
	return wrong ? fail(wrong) : ok(setup);
}

function wrongChannel(channel: SignalChannel, path: string): SignalProblem | undefined {
	for (const name of ['mVPerG', 'mVPerIps', 'highPassHz', 'lowPassHz', 'naturalHz', 'damping'] as const) {
		const value = channel[name];
		if (value !== undefined && !(value > 0 && Number.isFinite(value)))
			return bad(value, 'a number above zero', `${path}.${name}`);
	}
	if (channel.delayS !== undefined && !Number.isFinite(channel.delayS))
		return bad(channel.delayS, 'a finite number', `${path}.delayS`);
	const stated = (channel.mVPerG === undefined ? 0 : 1) + (channel.mVPerIps === undefined ? 0 : 1);
	if (channel.quantity === 'mV' && stated !== 1) return bad(stated, 'mVPerG or mVPerIps, one of them', path);
	if ((channel.naturalHz === undefined) !== (channel.damping === undefined))
		return bad('one of them', 'naturalHz and damping together', path);
	return undefined;
}

function wrongPulse({ pulse }: SignalSetup): SignalProblem | undefined {
	if (pulse.delayS !== undefined && !Number.isFinite(pulse.delayS))
		return bad(pulse.delayS, 'a finite number', '$.pulse.delayS');
	if ('timesS' in pulse) {
		return firstWrong(pulse.timesS, (time, k) =>
			Number.isFinite(time) && (k === 0 || time > (pulse.timesS[k - 1] as number))
				? undefined
				: bad(time, 'ascending times', `$.pulse.timesS[${k}]`),
		);
	}
	if (!Number.isFinite(pulse.threshold)) return bad(pulse.threshold, 'a finite number', '$.pulse.threshold');
	if (!(pulse.hysteresis >= 0 && Number.isFinite(pulse.hysteresis)))
		return bad(pulse.hysteresis, 'zero or more', '$.pulse.hysteresis');
	return undefined;
}

function firstWrong<T>(
	items: readonly T[],
	check: (item: T, k: number) => SignalProblem | undefined,
): SignalProblem | undefined {
	for (const [k, item] of items.entries()) {
		const wrong = check(item, k);
		if (wrong) return wrong;
	}
	return undefined;
}

function positive(value: number, path: string): SignalProblem | undefined {
	return value > 0 && Number.isFinite(value) ? undefined : bad(value, 'a number above zero', path);
}

function whole(value: number, least: number, path: string): SignalProblem | undefined {
	return Number.isInteger(value) && value >= least ? undefined : bad(value, `a whole number of ${least} or more`, path);
}

function bad(found: number | string, needed: string, path: string): SignalProblem {
	return { code: 'bad-setup', found, needed, path };
}
