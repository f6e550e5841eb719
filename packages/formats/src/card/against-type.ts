import { childPath, type DocumentFault } from '../problem/index.js';
import type { TypeData } from '../type-data/index.js';
import type { Card, CardField } from './schema.js';

/**
 * What a card names that the type data do not have, and what stands twice or out of order in the card itself: every
 * fault, in the card's order. A card with faults can still be flown; what they name is not judged.
 */
export function cardFaults(card: Card, typeData: TypeData): readonly DocumentFault[] {
	const stepIds = card.steps.map(({ id }) => id);
	const fieldIds = new Set<string>();
	return card.steps.flatMap((step, at) => {
		const place = childPath('$', 'steps', at);
		return [
			...(stepIds.indexOf(step.id) < at ? [twice(`${place}.id`, step.id)] : []),
			...(step.needs ?? []).flatMap((id, index) =>
				unknown(childPath('$', 'steps', at, 'needs', index), id, stepIds.slice(0, at)),
			),
			...step.lines.flatMap((id, index) => unknown(childPath('$', 'steps', at, 'lines', index), id, lineIds(typeData))),
			...step.fields.flatMap((field, index) => {
				const path = childPath('$', 'steps', at, 'fields', index);
				const again = fieldIds.has(field.id) ? [twice(`${path}.id`, field.id)] : [];
				fieldIds.add(field.id);
				return [...again, ...fieldFaults(field, typeData, path)];
			}),
		];
	});
}

function fieldFaults(field: CardField, typeData: TypeData, path: string): readonly DocumentFault[] {
	switch (field.kind) {
		case 'vibration': {
			const rotor = typeData.rotors.find(({ id }) => id === field.rotor);
			if (rotor === undefined) {
				return unknown(
					`${path}.rotor`,
					field.rotor,
					typeData.rotors.map(({ id }) => id),
				);
			}
			return unknown(
				`${path}.channel`,
				field.channel,
				rotor.channels.map(({ id }) => id),
			);
		}
		case 'number':
			return field.line === undefined ? [] : unknown(`${path}.line`, field.line, lineIds(typeData));
		case 'hold':
			return unknown(`${path}.hold`, field.hold, ids(typeData.holds));
		case 'ramp':
			return unknown(`${path}.transition`, field.transition, ids(typeData.transitions));
		case 'consumer':
			return unknown(`${path}.consumer`, field.consumer, ids(typeData.consumers));
		case 'autorotation':
			return typeData.autorotation === undefined
				? [{ code: 'missing-field', path, found: 'nothing', needed: 'autorotation in the type data' }]
				: [];
		case 'done':
		case 'text':
			return [];
	}
}

function lineIds(typeData: TypeData): readonly string[] {
	return typeData.limits.map(({ id }) => id);
}

function ids(list: readonly { readonly id: string }[] | undefined): readonly string[] {
	return (list ?? []).map(({ id }) => id);
}

function unknown(path: string, found: string, known: readonly string[]): readonly DocumentFault[] {
	if (known.includes(found)) return [];
	return [
		{
			code: 'not-allowed',
			path,
			found,
			needed: known.length === 0 ? 'a name that stands there; none does' : `one of ${known.join(', ')}`,
		},
	];
}

function twice(path: string, found: string): DocumentFault {
	return { code: 'not-allowed', path, found: `${found} a second time`, needed: 'each id once' };
}
