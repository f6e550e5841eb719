import type { Margin, TorqueMargin } from '@stillmast/core/power';
import { cautions } from '../print/cautions.js';
import { chance, rounded } from '../print/figures.js';
import { table } from '../print/table.js';
import type { MarginAnswer } from './answer.js';

/** Margins as a crew reads them: each chart with its working, the governing one first. */
export function marginForPeople(answer: MarginAnswer): string {
	const charts = answer.charts ?? [answer];
	const governing = charts.length === 1 ? [] : [`Governing: ${answer.result}`];
	return `${[...governing, ...charts.map(chartForPeople), cautions.trimEnd()].join('\n\n')}\n`;
}

function chartForPeople(margin: Margin): string {
	const unit = margin.unit === null ? '' : ` ${margin.unit}`;
	const decimals = decimalsFor(margin);
	const figure = (value: number): string => `${rounded(value, decimals)}${unit}`;
	const scatter = margin.scatter.map(({ quantity, sd, marginSd, share }) => [
		quantity,
		`scatter ${plain(sd)}`,
		`gives ${rounded(marginSd, decimals)}`,
		chance(share),
	]);
	const reference = margin.reference === null ? '' : ` (${margin.reference})`;
	return [
		`${margin.result}${reference}: ${verdictWords(margin)}`,
		table(
			[
				['limit', figure(margin.limit)],
				['observed', figure(margin.observed)],
				['margin', figure(margin.margin), `± ${rounded(margin.marginSd, decimals)} (one standard deviation)`],
				...torqueRow(margin.torque),
				['above zero', chance(margin.chancePositive)],
			],
			[1],
		),
		`  entered with ${Object.entries(margin.entered)
			.map(([id, value]) => `${id} ${plain(value)}`)
			.join(', ')}`,
		...(scatter.length === 0 ? ['  no scatter was given'] : [table(scatter, [3])]),
		...(margin.tooGood === true
			? ['  ! better than this type is believed to be: check the indications before the engine is praised']
			: []),
	].join('\n');
}

function verdictWords({ verdict, side }: Margin): string {
	if (verdict === 'meets') return 'inside, surely';
	if (verdict === 'does-not-meet') return 'OUTSIDE, surely';
	return side === 'inside' ? 'inside, but too close to be sure' : 'OUTSIDE, but too close to be sure';
}

function torqueRow(torque: TorqueMargin): readonly (readonly string[])[] {
	return torque.marginPct === null ? [] : [['in torque', `${rounded(torque.marginPct, 1)} %`]];
}

/** Decimals that show the scatter with two figures, or the limit with four where nothing scatters. */
function decimalsFor({ marginSd, limit }: Margin): number {
	const size = marginSd > 0 ? marginSd * 100 : Math.abs(limit);
	return Math.min(6, Math.max(0, 3 - Math.floor(Math.log10(size > 0 ? size : 1))));
}

/** A number as it was given, without the digits of its binary form. */
function plain(value: number): string {
	return String(Number(value.toPrecision(10)));
}
