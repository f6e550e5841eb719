import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { exactText } from '$lib/words/number.js';
import { typeData } from '$lib/words/type-data.js';
import { quantityWords } from './quantities.js';
import { type Keys, type Tree, textAt, valueAt } from './tree.js';

/** A field of a document in words: "torque, above 40 kt: not above", "Main rotor, hover lateral: limit". */
export function fieldName(tree: Tree, keys: Keys): string {
	const items: string[] = [];
	let rotor: Tree;
	for (const [at, key] of keys.entries()) {
		if (typeof key !== 'number') continue;
		const place = keys.slice(0, at + 1);
		const item = valueAt(tree, place);
		if (keys[at - 1] === 'rotors') rotor = item;
		const words = itemWords(item, rotor, String(keys[at - 1]));
		if (words !== null) items.push(words);
	}
	if (keys[0] === 'charts' && keys[2] === 'values')
		items.push(...cellWords(valueAt(tree, keys.slice(0, 2)), keys.slice(3)));
	const last = keys.findLast((key) => typeof key === 'string');
	const field = fieldWords(String(last));
	return items.length === 0 ? field : `${items.join(', ')}: ${field}`;
}

/** The words of a field by its name in files. */
export function fieldWords(name: string): string {
	return Object.hasOwn(typeData.fields, name) ? typeData.fields[name as keyof typeof typeData.fields] : name;
}

/** The unit beside a number; empty where it has none or its name says it. */
export function unitOf(tree: Tree, keys: Keys): string {
	const field = String(keys.findLast((key) => typeof key === 'string'));
	const item = valueAt(tree, keys.slice(0, -1));
	if (field === 'above' || field === 'below' || field === 'min' || field === 'max' || field === 'step') {
		return textAt(item, ['unit']);
	}
	if (keys[0] === 'charts' && keys[2] === 'axes') return quantityWords(textAt(tree, [...keys.slice(0, 4), 'id']))[1];
	if (field === 'values' && keys[0] === 'charts') return textAt(tree, ['charts', keys[1] ?? 0, 'result', 'unit']);
	const fixed: Readonly<Record<string, string>> = {
		limitIps: 'ips',
		goalIps: 'ips',
		stopIps: 'ips',
		sdIps: 'ips',
		amplitudeIpsPerUnit: 'ips',
		phaseDeg: '\u00b0',
		maxSeconds: 's',
		least: '\u00b0C',
		most: '\u00b0C',
		rpm: 'rpm',
		iasKt: 'kt',
		massG: 'g',
	};
	return fixed[field] ?? '';
}

/** A reading's place in words: "hover lateral". */
export function channelName(rotor: Tree, channel: Tree): string {
	const [regime, station] = [textAt(channel, ['regime']), textAt(channel, ['station'])];
	return `${textAt(rotor, ['regimes', regime]) || regime} ${textAt(rotor, ['stations', station]) || station}`;
}

function itemWords(item: Tree, rotor: Tree, list: string): string | null {
	if (typeof item === 'number') return null;
	switch (list) {
		case 'channels':
			return channelName(rotor, item);
		case 'adjusters': {
			const [kind, blade] = [textAt(item, ['kind']), textAt(item, ['blade'])];
			return blade === '' ? textAt(item, ['id']) : `${kind}, ${fill(english.rotor.blade, { letter: blade })}`;
		}
		case 'coefficients': {
			const channel = textAt(item, ['channel']);
			const [regime = '', station = ''] = channel.split('/');
			return `${textAt(item, ['kind'])}, ${channelName(rotor, { regime, station })}`;
		}
		case 'axes':
			return quantityWords(textAt(item, ['id']))[0];
		case 'charts':
			return textAt(item, ['result', 'id']).replaceAll('-', ' ');
		case 'curves':
		case 'points':
		case 'values':
			return curveWords(item);
	}
	for (const name of ['words', 'name', 'title', 'id', 'change']) {
		const found = textAt(item, [name]);
		if (found !== '') return found;
	}
	return null;
}

/** Where a cell of a chart's table stands: the values of its axes. */
function cellWords(chart: Tree, cell: Keys): readonly string[] {
	return cell.flatMap((index, axis) => {
		const value = valueAt(chart, ['axes', axis, 'values', index]);
		return typeof value === 'number'
			? [`${quantityWords(textAt(chart, ['axes', axis, 'id']))[0]} ${exactText(value)}`]
			: [];
	});
}

function curveWords(item: Tree): string | null {
	const family = valueAt(item, ['family']);
	return typeof family === 'number' ? exactText(family) : null;
}
