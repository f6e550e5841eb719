import { fail, ok, type Problem, type Result } from '../result/index.js';
import { chartInputs } from './chart.js';
import type { Chart, Quantities } from './chart-model.js';

/** What was read on an aircraft: one value, or one for each chart by the id of its result. */
export interface PowerReading {
	readonly observed: number | Readonly<Record<string, number>>;
	readonly conditions: Quantities;
	/** Standard deviations by condition or observed quantity; `observed` where there is a single observed value. */
	readonly sd?: Readonly<Record<string, number>> | undefined;
}

export interface ReadingProblem extends Problem {
	readonly code: /** A chart's own observed value was not given. */
		| 'missing-observed'
		/** One observed value for several charts. */
		| 'observed-for-several'
		/** A quantity stands among the conditions and the observed with different values. */
		| 'given-twice'
		/** A standard deviation of something that was not given. */
		| 'unknown-quantity'
		/** A standard deviation below zero or no number. */
		| 'out-of-range';
}

/** A reading as one chart sees it: one list of quantities, of which one is compared with the limit. */
export interface EnteredReading {
	readonly quantities: Quantities;
	readonly sd: Readonly<Record<string, number>>;
	/** Name in `quantities` of what is compared. */
	readonly comparedId: string;
	readonly observed: number;
}

const single = 'observed';

/**
 * A reading entered into one of `chartCount` charts. An observed quantity may be an input of the chart too.
 * Problems: see `ReadingProblem`.
 */
export function enterReading(
	chart: Chart,
	reading: PowerReading,
	chartCount = 1,
): Result<EnteredReading, ReadingProblem> {
	const { observed, conditions, sd = {} } = reading;
	const isSingle = typeof observed === 'number';
	if (isSingle && chartCount > 1) {
		return fail({ code: 'observed-for-several', found: 1, needed: chartCount, path: '$.observed' });
	}
	const comparedId = isSingle ? single : chart.result.id;
	const observedById: Quantities = isSingle ? { [single]: observed } : observed;
	const own = observedById[comparedId];
	if (own === undefined) {
		return fail({
			code: 'missing-observed',
			found: Object.keys(observedById),
			needed: comparedId,
			path: `$.observed['${comparedId}']`,
		});
	}
	const twice = Object.keys(observedById).find((id) => (conditions[id] ?? observedById[id]) !== observedById[id]);
	if (twice !== undefined) {
		return fail({
			code: 'given-twice',
			found: [conditions[twice], observedById[twice]],
			needed: 'one value',
			path: `$.conditions['${twice}']`,
		});
	}
	const quantities = { ...conditions, ...observedById };
	// An input that is missing is told as such when the chart is entered, not as a stray scatter here.
	const known = [...Object.keys(quantities), ...chartInputs(chart)];
	for (const [id, size] of Object.entries(sd)) {
		const path = `$.sd['${id}']`;
		if (!known.includes(id)) return fail({ code: 'unknown-quantity', found: id, needed: known, path });
		if (!(size >= 0 && Number.isFinite(size))) {
			return fail({ code: 'out-of-range', found: size, needed: 'zero or more', path });
		}
	}
	return ok({ quantities, sd, comparedId, observed: own });
}
