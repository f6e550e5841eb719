import type { Episode, Findings, Range } from '@stillmast/core/exceedance';
import { cautions } from '../print/cautions.js';
import { atLeast, atMost } from '../print/figures.js';
import { table } from '../print/table.js';

/** Findings as a crew reads them: what was passed and for how long, never what it means for the aircraft. */
export function findingsForPeople(findings: Findings): string {
	const { episodes, within, unseen, assumptions } = findings;
	const parts = [
		episodes.length === 0
			? 'No line was seen to be passed for longer than it allows.'
			: ['Lines passed, or possibly passed:', table(episodes.map(episodeRow))].join('\n'),
		...(within.length === 0 ? [] : [['Within the time allowed:', table(within.map(row))].join('\n')]),
		['Governing:', table(Object.entries(findings.governing).map(([id, line]) => [id, line ?? 'none']))].join('\n'),
		...(unseen.length === 0
			? []
			: [
					[
						'Not seen (an excursion could be hidden here):',
						table(
							unseen.map(({ line, fromS, toS, couldReach, reason }) => [
								line,
								seconds([fromS, toS]),
								reason === 'gap' ? 'gap in the trace' : 'samples too far apart',
								couldReach === null ? 'how far is not bounded' : `could reach ${figure(couldReach)}`,
							]),
						),
					].join('\n'),
				]),
		...(assumptions.length === 0
			? []
			: [['Taken for granted:', ...assumptions.map(({ words }) => `  ${words}`)].join('\n')]),
		'What follows from an exceedance is in the approved maintenance data; look the reference up.',
		cautions.trimEnd(),
	];
	return `${parts.join('\n\n')}\n`;
}

function episodeRow(episode: Episode): readonly string[] {
	return [episode.verdict.toUpperCase(), ...row(episode)];
}

function row(episode: Omit<Episode, 'verdict'>): readonly string[] {
	const [least, most] = episode.peak;
	const peak = most === null ? `${figure(least)} seen, most not bounded` : `${figure(least)} to ${figure(most)}`;
	return [
		episode.parameter,
		episode.line,
		`begins ${seconds(episode.startS)}`,
		`lasts ${seconds(episode.durationS)}${episode.cutByTrace ? ' (cut by the trace)' : ''}`,
		`peak ${peak}`,
		episode.reference,
	];
}

/** The least rounded down, the most rounded up. */
function seconds([least, most]: Range): string {
	return `${atLeast(least, 2)} to ${atMost(most, 2)} s`;
}

function figure(value: number): string {
	return String(Number(value.toPrecision(6)));
}
