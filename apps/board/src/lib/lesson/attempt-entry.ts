import type { EntryOf } from '@stillmast/formats/entry';
import { packTrace, unpackTrace } from '@stillmast/formats/trace';
import type { Session } from '@stillmast/record/client';
import { type FlownTrace, type GaugeName, gaugeNames, judgeAttempt, ouzel3Ramp } from '@stillmast/rehearsal';
import type { Done } from '$lib/check/actions.js';
import type { KeptAttempt } from '$lib/rehearsal/rehearsal.view.js';

const units: Readonly<Record<GaugeName, string>> = {
	leverPct: '%',
	torquePct: '%',
	nrPct: '%',
	ngPct: '%',
	totC: '°C',
	vibrationIps: 'ips',
};
const scenarioId = 'power-ramp';
/** The model's gauges sample 50 times a second. */
const periodS = 0.02;

/** Keeps an attempt in the record: its trace whole, then what it showed against its aim. On this device first. */
export async function keepAttempt(
	session: Pick<Session, 'write' | 'putBlob'>,
	{ number, flown, isStalled }: KeptAttempt,
	atMs: number,
): Promise<Done> {
	const { trace, judgement, task, fromTorquePct, toTorquePct } = flown;
	const chunks: string[] = [];
	for (const bytes of packTrace({ timesS: trace.timeS, columns: gaugeNames.map((name) => trace.channels[name]) })) {
		const put = await session.putBlob(bytes);
		if (!put.ok) return put;
		chunks.push(put.value);
	}
	const startS = trace.timeS[0] ?? 0;
	const traced = await session.write('trace', {
		flight: 0,
		feed: 'rehearsal',
		startAt: new Date(atMs - 1000 * ((trace.timeS.at(-1) ?? 0) - startS)).toISOString(),
		startS,
		periodS,
		rows: trace.timeS.length,
		channels: gaugeNames.map((id) => ({ id, unit: units[id] })),
		chunks,
	});
	if (!traced.ok) return traced;
	const { times, faults, isInside } = judgement;
	const ramp = times === null ? [] : trace.timeS.filter((timeS) => timeS >= times.startS && timeS <= times.endS);
	const peaks = {
		torquePct: judgement.peakTorquePct,
		nrPct: judgement.leastNrPct,
		totC: judgement.peakTotC,
		leverPct: judgement.endLeverPct,
		fromTorquePct,
		toTorquePct,
	};
	const written = await session.write('attempt', {
		flight: 0,
		step: null,
		attempt: number,
		signal: 'leverPct',
		totalS: times?.totalS ?? null,
		equivalentLinearS: times?.equivalentS ?? null,
		steepestPctPerS: times?.steepestPctPerS ?? null,
		rampSamples: ramp.length,
		peaks: Object.fromEntries(Object.entries(peaks).flatMap(([id, value]) => (value === null ? [] : [[id, value]]))),
		aim: { time: 'equivalent-linear', targetS: task.targetS, bandS: task.bandS },
		verdict: verdictOf(isInside, faults.length, isStalled),
		scenario: { id: scenarioId, seed: number },
		traces: [traced.value.hash],
		...(isStalled ? { text: stalledText } : {}),
	});
	return written.ok ? { ok: true, value: undefined } : written;
}

const stalledText = 'the device fell behind real time';

function verdictOf(isInside: boolean, faultCount: number, isStalled: boolean): string {
	if (isStalled) return 'cannot-tell';
	if (isInside) return 'inside';
	return faultCount > 0 ? 'outside' : 'cannot-tell';
}

/**
 * An attempt as it stands in the record, judged again from its own trace by the same rules.
 * @returns null while its trace is not on this device
 */
export async function attemptFrom(
	session: Pick<Session, 'blob' | 'entries'>,
	entry: EntryOf<'attempt'>,
): Promise<KeptAttempt | null> {
	const [hash] = entry.traces;
	const trace = hash === undefined ? undefined : session.entries.get(hash);
	if (trace?.kind !== 'trace') return null;
	const { chunks, channels } = trace as EntryOf<'trace'>;
	const bytes = await Promise.all(chunks.map((chunk) => session.blob(chunk)));
	const here = bytes.flatMap((one) => (one === null ? [] : [one]));
	if (here.length < chunks.length) return null;
	const rows = unpackTrace(here, channels.length);
	if (!rows.ok) return null;
	const column = (name: GaugeName) =>
		rows.value.columns[channels.findIndex(({ id }) => id === name)] ?? rows.value.timesS.map(() => null);
	const flown: FlownTrace = {
		timeS: rows.value.timesS,
		channels: {
			leverPct: column('leverPct'),
			torquePct: column('torquePct'),
			nrPct: column('nrPct'),
			ngPct: column('ngPct'),
			totC: column('totC'),
			vibrationIps: column('vibrationIps'),
		},
	};
	const task = ouzel3Ramp(entry.aim?.targetS ?? 2);
	return {
		number: entry.attempt,
		isStalled: entry.text === stalledText,
		flown: {
			trace: flown,
			task,
			judgement: judgeAttempt(flown, task),
			fromTorquePct: entry.peaks.fromTorquePct ?? 0,
			toTorquePct: entry.peaks.toTorquePct ?? 0,
		},
	};
}
