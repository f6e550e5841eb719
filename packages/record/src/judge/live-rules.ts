import type { LimitedParameter, Limits, Line } from '@stillmast/core/exceedance';
import type { HoldRule } from '@stillmast/core/power';
import type { HoldData, TypeData } from '@stillmast/formats/type-data';

/**
 * Limits by which a trace or a live feed is judged: the type's limit documents as one, and the lines of its limit page
 * that no document states. A condition that stands in words alone is one that nobody can know from numbers.
 */
export function traceLimits({ limits, limitDocuments = [] }: Pick<TypeData, 'limits' | 'limitDocuments'>): Limits {
	const parameters = new Map<string, LimitedParameter>();
	const add = ({ lines = [], ...figures }: LimitedParameter) => {
		const known = parameters.get(figures.id);
		parameters.set(figures.id, { ...figures, ...known, lines: [...(known?.lines ?? []), ...lines] });
	};
	for (const document of limitDocuments) for (const parameter of document.parameters) add(parameter);
	const stated = new Set([...parameters.values()].flatMap(({ lines = [] }) => lines.map(({ id }) => id)));
	for (const line of limits) {
		if (!stated.has(line.id)) add({ id: line.parameter, unit: line.unit, lines: [lineOfPage(line)] });
	}
	return { parameters: [...parameters.values()] };
}

function lineOfPage({ id, above, below, maxSeconds, family, reference, when }: TypeData['limits'][number]): Line {
	const condition = when === undefined ? {} : { when: { [when]: { equals: true } } };
	return { id, above, below, maxSeconds, family, reference, ...condition };
}

/** A hold of the type as a feed or a trace is judged by it. A parameter without a steepest slope may drift. */
export function holdRule(hold: HoldData, { limits }: Pick<TypeData, 'limits'>): HoldRule {
	const { stabiliseS, recordS, periodAtMostS, parameters } = hold;
	return {
		stabiliseS,
		recordS,
		periodAtMostS,
		bands: parameters.flatMap(({ id, spanAtMost, slopePerMinuteAtMost }) =>
			spanAtMost === undefined
				? []
				: [{ id, spanAtMost, slopePerMinuteAtMost: slopePerMinuteAtMost ?? Number.POSITIVE_INFINITY }],
		),
		record: parameters.filter(({ spanAtMost }) => spanAtMost === undefined).map(({ id }) => id),
		limits: limits.flatMap(({ id, parameter, above }) =>
			hold.lines.includes(id) && above !== undefined ? [{ id: parameter, value: above }] : [],
		),
		conditions: hold.confirmed.map(({ quantity, equals }) => ({ quantity, equals })),
	};
}
