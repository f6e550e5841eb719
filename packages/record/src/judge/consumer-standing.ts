import { type BleedJudgement, type BleedPart, type BleedProblem, judgeBleed } from '@stillmast/core/bleed';
import { type CardFieldOf, type ConsumerPart, consumerParts, fieldSubjects } from '@stillmast/formats/card';
import type { ConsumerData, TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '../fold/state.js';
import { holdOf, readingSd, type Written, writtenOf } from './written.js';

/** A consumer's check as it stands in one flight. */
export interface ConsumerStanding {
	readonly kind: 'consumer';
	readonly rule: ConsumerData | null;
	readonly missing: readonly string[];
	readonly differing: readonly string[];
	/** Parts whose readings are there, in the order flown; for a staircase before the last is written. */
	readonly parts: Readonly<Partial<Record<ConsumerPart, BleedPart>>>;
	/** Times of the parts by the clocks of those who wrote; `order`: clocks contradict it, the parts count as evenly spaced. */
	readonly timesBy: 'clock' | 'order';
	/** Null until all three parts are written and agreed, or with a problem. */
	readonly judgement: BleedJudgement | null;
	readonly problem: BleedProblem | null;
}

/**
 * Off, on and off again by their readings; each part held as long as its `hold` entry (field `<id>/<part>`) says, and
 * not at all without one. @rule JDG-9
 */
export function consumerStanding(
	state: RecordState,
	typeData: TypeData,
	field: CardFieldOf<'consumer'>,
	flight: number,
): ConsumerStanding {
	const rule = typeData.consumers.find(({ id }) => id === field.consumer) ?? null;
	const written = writtenOf(state, flight, fieldSubjects(field, typeData));
	const clocked = partsOf(state, field.id, flight, rule?.check, written);
	const timesBy = isAscending(clocked) ? 'clock' : 'order';
	const parts = timesBy === 'clock' ? clocked : evenlySpaced(clocked);
	const { 'off-before': offBefore, on, 'off-after': offAfter } = parts;
	const isWhole = offBefore !== undefined && on !== undefined && offAfter !== undefined;
	const judged =
		rule?.check === undefined || !isWhole
			? null
			: judgeBleed({ offBefore, on, offAfter }, { ...rule.check, riseC: rule.riseC });
	return {
		kind: 'consumer',
		rule,
		missing: written.missing,
		differing: written.differing,
		parts,
		timesBy,
		judgement: judged?.ok ? judged.value : null,
		problem: judged?.ok === false ? judged.problem : null,
	};
}

function partsOf(
	state: RecordState,
	fieldId: string,
	flight: number,
	check: ConsumerData['check'],
	{ values }: Written,
): ConsumerStanding['parts'] {
	if (check === undefined) return {};
	const { temperature, torque } = check;
	const found = consumerParts.flatMap((part): (readonly [ConsumerPart, BleedPart])[] => {
		const read = values.get(`${fieldId}/${part}/${temperature.id}`);
		const torquePct = values.get(`${fieldId}/${part}/${torque.id}`)?.value;
		if (typeof read?.value !== 'number' || typeof torquePct !== 'number') return [];
		const held = holdOf(state, flight, `${fieldId}/${part}`);
		const temperatureSdC = readingSd(read.sd ?? temperature.sd, read.resolution ?? temperature.resolution);
		const timeS = Date.parse((held ?? read).at) / 1000;
		return [[part, { timeS, heldS: held?.heldS ?? 0, temperatureC: read.value, torquePct, temperatureSdC }]];
	});
	return Object.fromEntries(found);
}

function isAscending(parts: ConsumerStanding['parts']): boolean {
	const times = consumerParts.flatMap((part) => parts[part]?.timeS ?? []);
	return times.every((timeS, at) => at === 0 || timeS > (times[at - 1] ?? timeS));
}

/** Two devices' clocks may contradict the order flown; drift is then taken as half way at the part in the middle. */
function evenlySpaced(parts: ConsumerStanding['parts']): ConsumerStanding['parts'] {
	return Object.fromEntries(
		consumerParts.flatMap((part, timeS) => (parts[part] === undefined ? [] : [[part, { ...parts[part], timeS }]])),
	);
}
