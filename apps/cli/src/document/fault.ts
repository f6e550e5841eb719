import type { Problem } from '@stillmast/core/result';
import type { JsonFault } from '@stillmast/formats/json';

/** Why a document was refused: from reading the file, its JSON, its schema or the meaning of its parts. */
export interface Refusal {
	readonly code: string;
	readonly path?: string;
	readonly found?: unknown;
	readonly needed?: unknown;
	/** In the file or in standard input, counted from 1. */
	readonly line?: number;
	readonly column?: number;
	/** The same for people. */
	readonly words: string;
}

/** What the codes mean, where the code alone leaves a reader guessing. */
const sentences: Readonly<Record<string, string>> = {
	'no-file': 'there is no such file',
	unreadable: 'the file cannot be read',
	'too-large': 'the document is too large and was not read',
	'not-utf8': 'the text is not UTF-8',
	'not-json': 'this is not JSON',
	'too-deep': 'objects and lists are nested too deep',
	'duplicate-key': 'a field stands twice in one object',
	'reserved-key': 'a field has a name that is not accepted',
	'number-too-large': 'a number is too large',
	'missing-field': 'a field is missing',
	'unknown-field': 'a field is not known',
	'wrong-type': 'a value is of the wrong kind',
	'not-allowed': 'a value is not allowed',
	'unknown-channel': 'a channel is named that the document does not list',
	'unknown-adjuster': 'an adjuster is named that the document does not list',
	'unknown-kind': 'a kind is named that no adjuster has',
	'unknown-blade': 'a blade is named that the rotor does not have',
	'unknown-regime': 'a regime is named that no channel has',
	'duplicate-id': 'an id stands twice',
	'duplicate-coefficient': 'a coefficient stands twice',
	'too-few-tails': 'too few tails to say how the next one may differ',
	'no-channels': 'there is no channel',
	'no-adjusters': 'there is no adjuster',
	'no-coefficients': 'there is no coefficient',
	'setting-out-of-range': 'a setting is outside its range',
	'setting-not-allowed': 'a setting is none of those allowed',
	'not-a-number': 'a value is not a number',
	'out-of-range': 'a value is out of range',
	'board-not-built': 'the board is not built yet',
	'port-taken': 'something else uses this port',
	'port-not-allowed': 'this user may not use this port',
	'not-an-address-here': 'this machine has no such address',
	'data-folder-unusable': 'records cannot be kept there',
	'no-records-there': 'no records are kept there',
	'certificate-unreadable': 'the certificate or its key cannot be read',
	'authority-unreadable': 'the kept authority cannot be read',
	'authority-for-other-names': 'the kept authority may not vouch for this name',
	'folder-in-use': 'another program uses this folder',
	'no-such-record': 'there is no such record',
	'several-such-records': 'several records begin so',
	'row-damaged': 'a kept entry is damaged',
	'outside-chart': 'a condition lies outside the chart, which is not extended',
	'missing-condition': 'a condition that the chart is entered with is missing',
	'missing-observed': 'the value to compare with the chart is missing',
	'observed-for-several': 'several charts need a value each, by the id of their results',
	'given-twice': 'a quantity is given twice with different values',
	'unknown-quantity': 'a quantity is named that the reading does not give',
	'no-slope': 'the chart has a single line there, so the scatter cannot be carried through',
	'no-such-scenario': 'there is no such scenario',
	'too-many-settings': 'there are more settings than can be searched',
};

/** A problem of any layer as a refusal: same code and place, and a sentence. */
export function refusalOf(problem: Problem & Partial<Pick<JsonFault, 'line' | 'column'>>): Refusal {
	const { code, path, found, needed, line, column } = problem;
	const place = [
		path,
		line === undefined ? undefined : `line ${line}${column === undefined ? '' : `, column ${column}`}`,
	]
		.filter((part) => part !== undefined)
		.join(', ');
	const words = [
		`${place === '' ? '' : `${place}: `}${sentences[code] ?? code.replaceAll('-', ' ')}`,
		...(found === undefined ? [] : [`found ${shown(found)}`]),
		...(needed === undefined ? [] : [`needed ${shown(needed)}`]),
	].join('; ');
	return {
		code,
		...(path === undefined ? {} : { path }),
		...(found === undefined ? {} : { found }),
		...(needed === undefined ? {} : { needed }),
		...(line === undefined ? {} : { line }),
		...(column === undefined ? {} : { column }),
		words,
	};
}

function shown(value: unknown): string {
	if (typeof value === 'string') return value;
	if (Array.isArray(value)) return value.map(shown).join(', ');
	if (isRange(value)) return `${value.axis} from ${value.atLeast} to ${value.atMost}`;
	return JSON.stringify(value) ?? String(value);
}

function isRange(
	value: unknown,
): value is { readonly axis: string; readonly atLeast: number; readonly atMost: number } {
	return typeof value === 'object' && value !== null && 'axis' in value && 'atLeast' in value && 'atMost' in value;
}
