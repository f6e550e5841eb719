import type { AmplitudeInterval } from '../answer.js';
import type { ChoiceVariable } from '../choice/types.js';
import type { Outlook } from '../predict/outlook.js';
import { currentSettings } from '../predict/outlook.js';
import type { Forecast } from '../predict/predict.js';
import { randomFrom } from '../random.js';

const draws = 400;
const sweeps = 30;

export interface Unreachable {
	readonly byChannel: Readonly<Record<string, AmplitudeInterval>>;
	/** Chance that, whatever is set, some channel's level stays over its limit. */
	readonly chanceOverLimit: number;
	/** Channels by that chance alone, for the words of the flag. */
	readonly chanceOverByChannel: Readonly<Record<string, number>>;
}

/**
 * The part of the starting fault that no allowed change removes. For each draw of (fault, coefficients) the settings
 * that make the channels smallest together are found inside the adjusters' ranges (least squares over goals, by
 * coordinate descent in the box); what is left is the draw's answer.
 */
export function unreachableOf(forecast: Forecast, variables: readonly ChoiceVariable[], seed: number): Unreachable {
	const { layout } = forecast.posterior;
	const channels = layout.channels.length;
	const random = randomFrom(seed);
	const now = currentSettings(forecast.posterior);
	const low = variables.map((v) => (v.allowed[0] ?? v.current) - v.current);
	const high = variables.map((v) => (v.allowed.at(-1) ?? v.current) - v.current);
	const left: Float64Array[] = Array.from({ length: channels }, () => new Float64Array(draws));
	let drawn = 0;
	let reached = 0;
	let over = 0;
	const overBy = new Float64Array(channels);
	for (const outlook of forecast.outlooks) {
		reached += outlook.weight * draws;
		for (; drawn < Math.round(reached); drawn++) {
			const levels = residualOf(drawPull(forecast, outlook, now, random.normal), layout.channels, low, high);
			let worst = 0;
			for (const [k, level] of levels.entries()) {
				left[k]![drawn] = level;
				const ratio = level / layout.channels[k]!.limitIps;
				worst = Math.max(worst, ratio);
				if (ratio > 1) overBy[k]! += 1 / draws;
			}
			if (worst > 1) over += 1;
		}
	}
	const byChannel: Record<string, AmplitudeInterval> = {};
	const chanceOverByChannel: Record<string, number> = {};
	for (const [k, channel] of layout.channels.entries()) {
		const sorted = left[k]!.slice(0, drawn).sort();
		byChannel[channel.id] = {
			amplitudeIps: sorted[Math.floor(drawn / 2)] ?? 0,
			low95Ips: sorted[Math.floor(0.025 * drawn)] ?? 0,
			high95Ips: sorted[Math.floor(0.975 * drawn)] ?? 0,
		};
		chanceOverByChannel[channel.id] = overBy[k]!;
	}
	return { byChannel, chanceOverLimit: over / Math.max(1, drawn), chanceOverByChannel };
}

/** One draw: per channel the level now (re, im) and the pull of each adjuster. */
interface Pulls {
	readonly base: Float64Array;
	/** (channel, adjuster) at 2·(k·adjusters + j). */
	readonly pull: Float64Array;
	readonly adjusters: number;
}

function drawPull(forecast: Forecast, outlook: Outlook, now: Float64Array, normal: () => number): Pulls {
	const { layout } = forecast.posterior;
	const { parts } = forecast;
	const { width, own } = outlook;
	const adjusters = layout.adjusters.length;
	const channels = layout.channels.length;
	const base = new Float64Array(2 * channels);
	const pull = new Float64Array(2 * channels * adjusters);
	const z = new Float64Array(width);
	for (let i = own; i < width; i++) z[i] = normal();
	for (let k = 0; k < channels; k++) {
		for (let i = 0; i < own; i++) z[i] = normal();
		const means = outlook.means[k]!;
		const spreads = outlook.spreads[k]!;
		for (let p = 0; p < parts.count; p++) {
			let re = means[2 * p]!;
			let im = means[2 * p + 1]!;
			const from = 2 * p * width;
			for (let i = 0; i < width; i++) {
				re += spreads[from + i]! * z[i]!;
				im += spreads[from + width + i]! * z[i]!;
			}
			const j = p - 1 - parts.bent.length;
			if (j < 0) {
				base[2 * k]! += re;
				base[2 * k + 1]! += im;
				continue;
			}
			const moved = now[j]! - layout.reference[j]!;
			base[2 * k]! += moved * re;
			base[2 * k + 1]! += moved * im;
			pull[2 * (k * adjusters + j)] = re;
			pull[2 * (k * adjusters + j) + 1] = im;
		}
	}
	return { base, pull, adjusters };
}

/** Levels left per channel after the best settings inside the box. */
function residualOf(
	{ base, pull, adjusters }: Pulls,
	channels: readonly { readonly goalIps?: number | undefined; readonly limitIps: number }[],
	low: readonly number[],
	high: readonly number[],
): number[] {
	const gram = new Float64Array(adjusters * adjusters);
	const slope = new Float64Array(adjusters);
	for (const [k, channel] of channels.entries()) {
		const weight = 1 / (channel.goalIps ?? channel.limitIps) ** 2;
		const at = 2 * k * adjusters;
		for (let i = 0; i < adjusters; i++) {
			const re = pull[at + 2 * i]! * weight;
			const im = pull[at + 2 * i + 1]! * weight;
			slope[i]! += re * base[2 * k]! + im * base[2 * k + 1]!;
			for (let j = 0; j <= i; j++) gram[i * adjusters + j]! += re * pull[at + 2 * j]! + im * pull[at + 2 * j + 1]!;
		}
	}
	for (let i = 0; i < adjusters; i++) for (let j = 0; j < i; j++) gram[j * adjusters + i] = gram[i * adjusters + j]!;
	const x = new Float64Array(adjusters);
	for (let sweep = 0; sweep < sweeps; sweep++) {
		let largest = 0;
		for (let i = 0; i < adjusters; i++) {
			const curve = gram[i * adjusters + i]!;
			if (curve <= 0) continue;
			const to = Math.min(high[i]!, Math.max(low[i]!, x[i]! - slope[i]! / curve));
			const step = to - x[i]!;
			if (step === 0) continue;
			x[i] = to;
			for (let j = 0; j < adjusters; j++) slope[j]! += gram[i * adjusters + j]! * step;
			largest = Math.max(largest, step * step * curve);
		}
		if (largest < 1e-6) break;
	}
	return channels.map((_, k) => {
		let re = base[2 * k]!;
		let im = base[2 * k + 1]!;
		for (let j = 0; j < adjusters; j++) {
			re += pull[2 * (k * adjusters + j)]! * x[j]!;
			im += pull[2 * (k * adjusters + j) + 1]! * x[j]!;
		}
		return Math.hypot(re, im);
	});
}
