import { densityAltitudeFt } from '@stillmast/core/air';
import {
	type AutorotationJudgement,
	type AutorotationProblem,
	type AutorotationRun,
	judgeAutorotation,
} from '@stillmast/core/autorotation';
import { type CardFieldOf, fieldSubjects } from '@stillmast/formats/card';
import { type AutorotationData, chartOf, rotorOf, type TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '../fold/state.js';
import { type Written, writtenOf } from './written.js';

/** Rotor speed in autorotation as it stands in one flight. */
export interface AutorotationStanding {
	readonly kind: 'autorotation';
	readonly rule: AutorotationData | null;
	readonly missing: readonly string[];
	readonly differing: readonly string[];
	/** Runs with everything written and agreed. */
	readonly runs: readonly AutorotationRun[];
	/** Of those runs; null before the first, or with a problem. */
	readonly judgement: AutorotationJudgement | null;
	readonly problem: AutorotationProblem | null;
}

/** The runs that are whole, against the type's chart. @rule JDG-10 */
export function autorotationStanding(
	state: RecordState,
	typeData: TypeData,
	field: CardFieldOf<'autorotation'>,
	flight: number,
): AutorotationStanding {
	const rule = typeData.autorotation ?? null;
	const written = writtenOf(state, flight, fieldSubjects(field, typeData));
	const runs = rule === null ? [] : runsOf(field, rule, written);
	const chart = rule === null ? undefined : chartOf(typeData, rule.chart);
	const blades = rule === null ? 0 : (rotorOf(typeData, rule.rotor)?.blades.length ?? 0);
	const judged =
		rule === null || chart === undefined || runs.length === 0
			? null
			: judgeAutorotation(runs, { ...rule, chart, blades });
	return {
		kind: 'autorotation',
		rule,
		missing: written.missing,
		differing: written.differing,
		runs,
		judgement: judged?.ok ? judged.value : null,
		problem: judged?.ok === false ? judged.problem : null,
	};
}

function runsOf(
	field: CardFieldOf<'autorotation'>,
	{ parameters }: AutorotationData,
	{ values }: Written,
): readonly AutorotationRun[] {
	return Array.from({ length: field.runs }, (_, at) => at + 1).flatMap((run): AutorotationRun[] => {
		const read = parameters.flatMap(({ id }): (readonly [string, number])[] => {
			const value = values.get(`autorotation/${field.id}/${run}/${id}`)?.value;
			return typeof value === 'number' ? [[id, value]] : [];
		});
		const { rotorRpmPct, massKg, ...conditions } = Object.fromEntries(read);
		if (read.length < parameters.length || rotorRpmPct === undefined || massKg === undefined) return [];
		return [{ rotorRpmPct, massKg, conditions: withDensityAltitude(conditions) }];
	});
}

/** Pressure altitude and temperature as read give the density altitude that a chart may be entered with. */
function withDensityAltitude(conditions: Readonly<Record<string, number>>): Readonly<Record<string, number>> {
	const { pressureAltitudeFt, oatC } = conditions;
	if (pressureAltitudeFt === undefined || oatC === undefined || 'densityAltitudeFt' in conditions) return conditions;
	const found = densityAltitudeFt(pressureAltitudeFt, oatC);
	return found.ok ? { ...conditions, densityAltitudeFt: found.value } : conditions;
}
