import { namesOf } from './rotor-shape.js';
import { idFrom, listAt, type Tree, textAt, valueAt, withValue } from './tree.js';

/** What a step asks for, put together from what the type data has. */

export function moved(list: Tree, at: number, by: -1 | 1): Tree {
	const items = listAt(list, []);
	const [one, other] = [items[at], items[at + by]];
	if (one === undefined || other === undefined) return list;
	return withValue(withValue(list, [at], other), [at + by], one);
}

export function withLine(step: Tree, id: string, isOn: boolean): Tree {
	const others = listAt(step, ['lines']).filter((line) => line !== id);
	return withValue(step, ['lines'], isOn ? [...others, id] : others);
}

/** Ids of all fields of a card: each stands once. */
export function fieldIds(card: Tree): readonly string[] {
	return listAt(card, ['steps']).flatMap((step) => listAt(step, ['fields']).map((field) => textAt(field, ['id'])));
}

export function newField(kind: 'done' | 'number' | 'text', name: string, taken: readonly string[]): Tree {
	return { id: idFrom(name, taken), kind, name };
}

/** A regime of a rotor whose readings a step may ask for. */
export interface Regime {
	readonly rotor: Tree;
	readonly id: string;
	readonly words: string;
}

export function regimesOf(type: Tree): readonly Regime[] {
	return listAt(type, ['rotors']).flatMap((rotor) =>
		Object.entries(namesOf(rotor, 'regimes')).map(([id, words]) => ({ rotor, id, words })),
	);
}

/** The step with the readings of every place in one regime, those that are not there yet. */
export function withReadings(step: Tree, { rotor, id }: Regime, taken: readonly string[]): Tree {
	const rotorId = textAt(rotor, ['id']);
	const made = listAt(rotor, ['channels'])
		.filter((channel) => textAt(channel, ['regime']) === id)
		.map((channel) => {
			const channelId = textAt(channel, ['id']);
			return { id: `${rotorId}:${channelId}`, kind: 'vibration', rotor: rotorId, channel: channelId };
		})
		.filter((field) => !taken.includes(field.id));
	const regime = valueAt(step, ['regime']) ?? id;
	return withValue(withValue(step, ['fields'], [...listAt(step, ['fields']), ...made]), ['regime'], regime);
}
