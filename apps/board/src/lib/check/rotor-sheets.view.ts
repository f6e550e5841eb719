import type { LearnedKind, PredictedReading } from '@stillmast/core/balance';
import { readingSdIps } from '@stillmast/core/reading';
import type { RotorData } from '@stillmast/formats/type-data';
import type { RotorJob } from '@stillmast/record/judge';
import type { RotorAdjuster, RotorBarb, RotorBlade, RotorReading, RotorSheet } from '$lib/parts/rotor/rotor-sheet.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { vibrationScale } from '$lib/words/vibration.js';
import { channelWords } from './wall-rows.view.js';

export interface SheetInput {
	readonly rotor: RotorData;
	readonly job: RotorJob;
	/** In force now. */
	readonly settings: Readonly<Record<string, number>>;
	/** What somebody tries on the board; the settings in force where nothing is tried. */
	readonly tried: Readonly<Record<string, number>>;
	readonly predicted: Readonly<Record<string, PredictedReading>> | null;
	readonly learned: readonly LearnedKind[];
	/** Kind of adjuster whose barbs are drawn. */
	readonly kind: RotorAdjuster;
}

/** One rotor picture per channel: every run's reading, the prediction, and what one step at each blade does. */
export function rotorSheets(input: SheetInput): RotorSheet[] {
	const { rotor } = input;
	const { unit, digits, perIps } = vibrationScale();
	const blades = [...rotor.blades.map((blade) => bladeOf(blade, input)), ...pointsOf(input)];
	return rotor.channels.map((channel) => ({
		id: channel.id,
		title: channelWords(rotor, channel.id),
		unit,
		digits,
		turns: rotor.turns === 'clockwise' ? 'clockwise' : 'anticlockwise',
		seen: rotor.seenFrom === 'above' ? 'from-above' : 'from-side',
		blades,
		limit: channel.limitIps * perIps,
		goal: channel.goalIps * perIps,
		readings: readingsOf(channel.id, input),
		predicted: predictedOf(channel.id, input),
		barbs: barbsOf(channel.id, input),
	}));
}

/** The rotor's spokes carry at most these kinds; a mass point is drawn as plates whatever the type calls it. */
export function drawnAs(kind: string): RotorAdjuster {
	return kind === 'tab' || kind === 'link' ? kind : 'plate';
}

function bladeOf(blade: RotorData['blades'][number], { rotor, settings, tried }: SheetInput): RotorBlade {
	const find = (kind: RotorAdjuster) => {
		const adjuster = rotor.adjusters.find((one) => one.blade === blade.id && drawnAs(one.kind) === kind);
		if (adjuster === undefined) return null;
		const onAircraft = settings[adjuster.id] ?? 0;
		return { onAircraft, tried: tried[adjuster.id] ?? onAircraft };
	};
	return {
		id: blade.id,
		letter: blade.id,
		name: blade.paint ?? null,
		passAngleDeg: blade.passAngleDeg,
		plates: find('plate'),
		tabDeg: find('tab'),
		linkFlats: find('link'),
	};
}

/** Mass points that no blade carries: spokes of their own at their real places, named as the type names them. */
function pointsOf({ rotor, settings, tried }: SheetInput): RotorBlade[] {
	return rotor.adjusters
		.filter(({ blade, kind }) => blade === null && drawnAs(kind) === 'plate')
		.map(({ id, passAngleDeg }) => {
			const onAircraft = settings[id] ?? 0;
			const plates = { onAircraft, tried: tried[id] ?? onAircraft };
			return { id, letter: shortName(id), name: id, passAngleDeg, plates, tabDeg: null, linkFlats: null };
		});
}

/** "washer-2" \u2192 "w2": room at a spoke's end is for two or three signs; the list says the whole name. */
function shortName(id: string): string {
	return `${id.charAt(0)}${/\d+$/.exec(id)?.[0] ?? ''}`;
}

function readingsOf(channelId: string, { job, rotor }: SheetInput): RotorReading[] {
	const { perIps } = vibrationScale();
	return (job.problem.runs ?? []).flatMap((run, index) => {
		const reading = run.readings[channelId];
		const about = job.runs[index];
		if (reading === undefined || about === undefined) return [];
		const sd = readingSdIps(reading.amplitudeIps, rotor.noise, reading.sdIps ?? 0);
		return [
			{
				id: run.id,
				label: fill(journey.workshop.runLabel, { flight: String(about.flight), run: String(about.run) }),
				amplitude: reading.amplitudeIps * perIps,
				phaseDeg: reading.phaseDeg ?? null,
				covariance: circular(sd * perIps),
			},
		];
	});
}

function predictedOf(channelId: string, { predicted }: SheetInput): RotorReading | null {
	const next = predicted?.[channelId];
	if (next === undefined) return null;
	const { perIps } = vibrationScale();
	return {
		id: 'predicted',
		label: journey.workshop.predicted,
		amplitude: next.amplitudeIps * perIps,
		phaseDeg: next.phaseDeg,
		covariance: circular(next.sdIps * perIps),
	};
}

function barbsOf(channelId: string, { rotor, learned, kind, job }: SheetInput): RotorBarb[] {
	const { perIps } = vibrationScale();
	const isLearned = job.runs.filter((run) => !run.excluded).length > 1;
	return rotor.adjusters.flatMap((adjuster) => {
		if (drawnAs(adjuster.kind) !== kind) return [];
		const table = rotor.coefficients.find((one) => one.channel === channelId && one.kind === adjuster.kind);
		if (table === undefined) return [];
		const own = isLearned ? learned.find((one) => one.kind === adjuster.kind) : undefined;
		return [
			{
				bladeId: adjuster.blade ?? adjuster.id,
				amplitude: perIps * table.amplitudeIpsPerUnit * adjuster.step * (own?.gain ?? 1),
				phaseDeg: table.phaseDeg + adjuster.passAngleDeg + (own?.phaseErrorDeg ?? 0),
				basis: own === undefined ? ('table' as const) : ('learned' as const),
			},
		];
	});
}

function circular(sd: number): RotorReading['covariance'] {
	return { xx: sd * sd, xy: 0, yy: sd * sd };
}
