import { wrap360 } from '../../phasor/index.js';
import type { Reading, RotorProblem, Run } from '../model.js';
import type { Hypothesis, ReadingAct } from './hypotheses.js';

/**
 * The runs as they would stand if the hypothesis about the last one were true: its settings or its readings put right.
 * Null where that can't be told as settings and readings. Nothing in the record changes by this.
 */
export function runsAsIf(problem: RotorProblem, runs: readonly Run[], hypothesis: Hypothesis): readonly Run[] | null {
	const last = runs.at(-1);
	if (!last || hypothesis.settings === null || hypothesis.reading.act === 'unlike-any') return null;
	const readings = putRight(problem, last.readings, hypothesis.reading);
	return [...runs.slice(0, -1), { ...last, settings: hypothesis.settings, readings }];
}

function putRight(
	problem: RotorProblem,
	readings: Readonly<Record<string, Reading>>,
	act: ReadingAct,
): Readonly<Record<string, Reading>> {
	const stationOf = (id: string): string => problem.channels.find((c) => c.id === id)?.station ?? '';
	const turned = (by: (phaseDeg: number, id: string) => number): Record<string, Reading> =>
		Object.fromEntries(
			Object.entries(readings).map(([id, reading]) => {
				const phase = reading.phaseDeg ?? null;
				return [id, phase === null ? reading : { ...reading, phaseDeg: wrap360(by(phase, id)) }];
			}),
		);
	switch (act.act) {
		case 'none':
		case 'unlike-any':
			return readings;
		case 'turned':
			return turned((phase) => phase - act.angleDeg);
		case 'mirrored':
			return turned((phase) => -phase);
		case 'reversed':
			return turned((phase, id) => (stationOf(id) === act.station ? phase + 180 : phase));
		case 'swapped':
			return Object.fromEntries(
				problem.channels.flatMap((channel): [string, Reading][] => {
					const at = act.stations.indexOf(channel.station);
					const other = at < 0 ? channel.station : act.stations[1 - at];
					const from = problem.channels.find((c) => c.regime === channel.regime && c.station === other) ?? channel;
					const reading = readings[from.id];
					return reading ? [[channel.id, reading]] : [];
				}),
			);
		case 'unrelated':
			return Object.fromEntries(Object.entries(readings).filter(([id]) => id !== act.channel));
	}
}
