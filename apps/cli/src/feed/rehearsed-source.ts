import { ok } from '@stillmast/core/result';
import type { FeedHead } from '@stillmast/formats/feed';
import {
	calmDay,
	drawPilot,
	flyAttempt,
	type GaugeName,
	gaugeNames,
	ouzel3,
	ouzel3Ramp,
	RampAttempt,
	seededDraw,
} from '@stillmast/rehearsal';
import type { FeedSource } from './file-source.js';

const units: Readonly<Record<GaugeName, string>> = {
	leverPct: '%',
	torquePct: '%',
	nrPct: '%',
	ngPct: '%',
	totC: '°C',
	vibrationIps: 'ips',
};

/** The gauges of one attempt at the two-second ramp, flown by a scripted pilot. */
export function rehearsedFeed(seed: number): FeedSource {
	const channels: FeedHead['channels'] = gaugeNames.map((id) => ({ id, unit: units[id] }));
	return async function* () {
		const draw = seededDraw(seed);
		const pilot = drawPilot(draw, true);
		const attempt = new RampAttempt({ type: ouzel3, conditions: calmDay, task: ouzel3Ramp(2), draw });
		flyAttempt(pilot, attempt, 1, draw);
		const trace = attempt.trace();
		for (const [at, timeS] of trace.timeS.entries()) {
			const said = gaugeNames.flatMap((id) => {
				const value = trace.channels[id][at] ?? null;
				return value === null ? [] : [[id, value] as const];
			});
			yield ok({ channels, sample: { timeS, values: Object.fromEntries(said), states: { phase: 'rehearsal' } } });
		}
	};
}
