import { MOST_CORRECTIONS } from './campaign.js';
import type { Cell } from './cells.js';
import type { Flown } from './convergence.js';
import { groupedShare, type Mean, meanOf, quantile, type Share, shareOf } from './statistics.js';
import { meanText, percent, table, verdict } from './table.js';

export interface CellResult {
	readonly cell: Cell;
	readonly flown: readonly Flown[];
}

/** Corrections until inside, every strategy of every cell. */
export function convergenceTable(results: readonly CellResult[]): string {
	const rows = results.flatMap(({ cell, flown }) =>
		strategiesOf(flown).map((strategy) => {
			const own = flown.filter((one) => one.strategy === strategy);
			const all = own.map(({ campaign }) => campaign.corrections ?? MOST_CORRECTIONS);
			const never = shareOf(own.filter(({ campaign }) => campaign.corrections === null).length, own.length);
			const mean = meanOf(all);
			const p95 = quantile(all, 0.95);
			const first = shareOf(all.filter((corrections) => corrections === 1).length, all.length);
			const target = strategy === (cell.fleet ? 'learning + fleet' : 'learning') ? cell.target : undefined;
			return [
				cell.id,
				strategy,
				`${own.length}`,
				meanText(mean),
				`${quantile(all, 0.5)} / ${p95}`,
				percent(first),
				percent(never),
				target === undefined ? '' : targetText(target, mean, p95, never),
			];
		}),
	);
	const head = [
		'cell',
		'strategy',
		'rotors',
		'mean corrections',
		'median / p95',
		'inside after one',
		'never',
		'target',
	];
	return table(head, rows);
}

/** Each of the three targets by itself: what is missed should be seen to be missed. */
function targetText(target: NonNullable<Cell['target']>, mean: Mean, p95: number, never: Share): string {
	const settled = Math.abs(mean.mean - target.mean) > mean.half95;
	return [
		`mean ≤ ${target.mean}: ${verdict(mean.mean <= target.mean, settled)}`,
		`p95 ≤ ${target.p95}: ${p95 <= target.p95 ? 'reached' : 'missed'}`,
		`never ≤ ${(100 * target.never).toFixed(1)} %: ${never.share <= target.never ? 'reached' : 'missed'}`,
	].join('; ');
}

/** Coverage of the 95 % intervals of the next reading. */
export function coverageTable(results: readonly CellResult[]): string {
	const rows: string[][] = [];
	const honest: { hits: number; of: number }[] = [];
	for (const { cell, flown } of results) {
		for (const strategy of strategiesOf(flown)) {
			if (!strategy.startsWith('learning')) continue;
			const own = flown.filter((one) => one.strategy === strategy);
			const inside = byGroup(own, (amplitude, low, high) => amplitude >= low && amplitude <= high);
			const above = byGroup(own, (amplitude, _, high) => amplitude > high);
			const understated = cell.wrong.statedShare < 1;
			if (!understated) honest.push(...inside);
			const covered = groupedShare(inside);
			const over = groupedShare(above);
			const reached = understated
				? covered.share >= 0.88
				: covered.share >= 0.92 && covered.share <= 0.98 && over.share <= 0.035;
			rows.push([cell.id, strategy, percent(covered), percent(over), reached ? 'reached' : 'missed']);
		}
	}
	const pooled = groupedShare(honest);
	const reached = pooled.share >= 0.94 && pooled.share <= 0.97;
	rows.push(['all cells whose stated error is right', 'pooled', percent(pooled), '', reached ? 'reached' : 'missed']);
	return table(['cell', 'strategy', 'inside the 95 % interval', 'above its upper end', 'target'], rows);
}

/** Stated joint chances against what happened, over all cells whose stated error is right. */
export function chanceTable(results: readonly CellResult[]): string {
	const pairs = results
		.filter(({ cell }) => cell.wrong.statedShare === 1)
		.flatMap(({ flown }) => flown)
		.flatMap(({ rotor, campaign }) =>
			campaign.legs.flatMap(({ decision, next }) => {
				if (decision.proposal === null) return [];
				const happened = rotor.shape.channels.every((c) => next.readings[c.id]!.amplitudeIps <= c.goalIps!);
				return [{ stated: decision.proposal.chanceAllWithinGoal, happened }];
			}),
		);
	const rows = [0.1, 0.3, 0.5, 0.7, 0.9].map((middle) => {
		const own = pairs.filter(({ stated }) => Math.min(4, Math.floor(5 * stated)) === Math.floor(5 * middle));
		const stated = own.reduce((sum, pair) => sum + pair.stated, 0) / own.length;
		const happened = shareOf(own.filter((pair) => pair.happened).length, own.length);
		const reached = Math.abs(happened.share - stated) <= 0.05;
		const clearlyIn = happened.low95 >= stated - 0.05 && happened.high95 <= stated + 0.05;
		const clearlyOut = happened.high95 < stated - 0.05 || happened.low95 > stated + 0.05;
		return [
			`${Math.round(100 * middle - 10)} to ${Math.round(100 * middle + 10)} %`,
			own.length === 0 ? '' : `${(100 * stated).toFixed(1)} %`,
			percent(happened),
			own.length === 0 ? '' : verdict(reached, clearlyIn || clearlyOut),
		];
	});
	return table(['stated', 'mean stated', 'happened', 'target ± 5 points'], rows);
}

/** Whether "no allowed change removes this" is said where it is so, by the third run, and only there. */
export function unreachableTable(results: readonly CellResult[]): string {
	const rows: string[][] = [];
	for (const { cell, flown } of results) {
		const own = flown.filter(({ strategy }) => strategy === 'learning');
		let over = 0;
		let found = 0;
		let sound = 0;
		let alarms = 0;
		for (const { rotor, campaign } of own) {
			const worst = Math.max(...rotor.remainder.map((value) => Math.hypot(...value)));
			const flagged = campaign.legs
				.slice(0, 3)
				.some(({ decision }) => decision.flags.includes('unreachable-over-limit'));
			const limit = rotor.shape.channels[0]!.limitIps;
			if (worst > limit) {
				// Fewer than three runs leave no third run to find it by.
				if (campaign.legs.length < 3) continue;
				over++;
				if (flagged) found++;
			} else if (worst < limit / 2) {
				sound++;
				if (flagged) alarms++;
			}
		}
		rows.push([cell.id, percent(shareOf(found, over)), percent(shareOf(alarms, sound))]);
	}
	return table(['cell', 'over the limit: flagged by the third run', 'under half the limit: flagged'], rows);
}

function strategiesOf(flown: readonly Flown[]): Flown['strategy'][] {
	return [...new Set(flown.map(({ strategy }) => strategy))];
}

type Counts = (amplitudeIps: number, lowIps: number, highIps: number) => boolean;

function byGroup(flown: readonly Flown[], counts: Counts): { hits: number; of: number }[] {
	const groups = new Map<number, { hits: number; of: number }>();
	for (const one of flown) {
		const { hits, of } = countReadings(one, counts);
		const before = groups.get(one.group) ?? { hits: 0, of: 0 };
		groups.set(one.group, { hits: before.hits + hits, of: before.of + of });
	}
	return [...groups.values()];
}

function countReadings({ rotor, campaign }: Flown, counts: Counts): { hits: number; of: number } {
	let hits = 0;
	let of = 0;
	for (const { decision, next } of campaign.legs) {
		if (decision.proposal === null) continue;
		for (const { id } of rotor.shape.channels) {
			const { low95Ips, high95Ips } = decision.proposal.predicted[id]!;
			of++;
			if (counts(next.readings[id]!.amplitudeIps, low95Ips, high95Ips)) hits++;
		}
	}
	return { hits, of };
}
