import { type CardStep, consumerParts } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { fill } from '$lib/words/fill.js';
import { glass } from '$lib/words/glass.js';

/** One thing that is held for a time: a hold, or one part of a consumer's check. */
export interface TimedPart {
	/** Field of the `hold` entry: `power`, `heater/on`. */
	readonly id: string;
	readonly label: string;
	/** Part of the consumer; null for a hold. */
	readonly part: string | null;
	readonly neededS: number;
	/** The whole time was kept in this flight. */
	readonly isHeld: boolean;
	readonly heldS: number;
}

export function timedParts(state: RecordState, typeData: TypeData, step: CardStep, flight: number): TimedPart[] {
	return step.fields.flatMap((field) => {
		if (field.kind === 'hold') {
			const rule = typeData.holds?.find(({ id }) => id === field.hold);
			return rule === undefined
				? []
				: [timedPart(state, flight, field.id, field.name, null, rule.stabiliseS + rule.recordS)];
		}
		if (field.kind !== 'consumer') return [];
		const check = typeData.consumers.find(({ id }) => id === field.consumer)?.check;
		if (check === undefined) return [];
		return consumerParts.map((part) =>
			timedPart(state, flight, `${field.id}/${part}`, partWords(part), part, check.heldAtLeastS),
		);
	});
}

/** "off", "on", "off again", "run 2". */
export function partWords(part: string): string {
	return Object.hasOwn(glass.parts, part)
		? glass.parts[part as keyof typeof glass.parts]
		: fill(glass.run, { run: part });
}

function timedPart(
	state: RecordState,
	flight: number,
	id: string,
	label: string,
	part: string | null,
	neededS: number,
): TimedPart {
	const newest = state.of.hold.findLast((entry) => entry.flight === flight && entry.field === id);
	return {
		id,
		label,
		part,
		neededS,
		isHeld: newest?.complete === true && newest.heldS >= neededS,
		heldS: newest?.heldS ?? 0,
	};
}
