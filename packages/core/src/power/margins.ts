import { ok, type Result } from '../result/index.js';
import type { Chart } from './chart-model.js';
import { type Margin, type MarginProblem, marginOf } from './margin.js';
import type { PowerReading } from './reading.js';

export interface Margins {
	/** In the order of the charts. */
	readonly charts: readonly Margin[];
	/** The worst: it governs. */
	readonly governing: Margin;
}

const verdictRank = { 'does-not-meet': 0, 'too-close': 1, meets: 2 } as const;

/**
 * One reading against several charts, such as turbine temperature and gas-generator speed: each is told, the worst
 * governs. Worst is an outside before an inside, then the verdict, then the lesser chance of a positive margin.
 * Problems: of the first chart that has one. @rule PWR-6
 */
export function marginsOf(charts: readonly [Chart, ...Chart[]], reading: PowerReading): Result<Margins, MarginProblem> {
	const margins: Margin[] = [];
	for (const chart of charts) {
		const margin = marginOf(chart, reading, charts.length);
		if (!margin.ok) return margin;
		margins.push(margin.value);
	}
	const [governing] = [...margins].sort(worseFirst);
	if (governing === undefined) throw new RangeError('a reading is compared with one chart at least');
	return ok({ charts: margins, governing });
}

function worseFirst(a: Margin, b: Margin): number {
	return (
		Number(a.side === 'inside') - Number(b.side === 'inside') ||
		verdictRank[a.verdict] - verdictRank[b.verdict] ||
		a.chancePositive - b.chancePositive ||
		relative(a) - relative(b)
	);
}

/** Margins in different units, made comparable by the size of their limits. */
function relative({ margin, limit }: Margin): number {
	return margin / Math.max(Math.abs(limit), Number.MIN_VALUE);
}
