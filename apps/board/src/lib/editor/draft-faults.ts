import { cardFaults, cardSchema } from '@stillmast/formats/card';
import { chartSchema, readChart } from '@stillmast/formats/chart';
import { childPath, type DocumentFault, faultsIn, readAs } from '@stillmast/formats/problem';
import { readTypeData, typeDataSchema } from '@stillmast/formats/type-data';
import type { Page } from './pages.js';
import { type Keys, listAt, type Tree, valueAt } from './tree.js';

/** A fault of a document while it is typed: on which page, where, and whether something is only missing yet. */
export interface DraftFault {
	readonly document: 'type' | 'card';
	readonly page: Page;
	readonly path: string;
	readonly isMissing: boolean;
	readonly fault: DocumentFault;
}

/** The faults that the schemas find, and those of numbers and names that do not go together. */
export function draftFaults(documents: { readonly type: Tree; readonly card: Tree }): readonly DraftFault[] {
	const type = withTheRest(
		[...faultsIn(typeDataSchema, documents.type), ...togetherFaults(documents.type)],
		documents.type,
	);
	const card = withNames(faultsIn(cardSchema, documents.card), documents);
	return [
		...type.flatMap((fault) => {
			const page = pageOf(fault.path);
			return page === null ? [] : [{ document: 'type', page, ...placed(fault) } as const];
		}),
		...card.map((fault) => ({ document: 'card', page: 'card', ...placed(fault) }) as const),
	];
}

/** What only a document of the right shape can be asked: names that point to nothing, names that stand twice. */
function withTheRest(faults: readonly DocumentFault[], type: Tree): readonly DocumentFault[] {
	if (faults.length > 0) return faults;
	const read = readTypeData(type);
	return read.ok ? [] : [read.problem];
}

function withNames(
	faults: readonly DocumentFault[],
	{ type, card }: { readonly type: Tree; readonly card: Tree },
): readonly DocumentFault[] {
	const [readType, readCard] = [readAs(typeDataSchema, type), readAs(cardSchema, card)];
	return readType.ok && readCard.ok ? cardFaults(readCard.value, readType.value) : faults;
}

function placed(fault: DocumentFault) {
	const isMissing = fault.code === 'missing-field' || fault.found === 'a list of 0' || fault.found === 'nothing';
	return { path: fault.path, isMissing, fault };
}

/** What is said of the documents as a whole is made, not typed. */
function pageOf(path: string): Page | null {
	if (path.startsWith('$.rotors') || path.startsWith('$.dependencies')) return 'rotor';
	if (/^\$\.(charts|holds|autorotation)\b/.test(path)) return 'charts';
	if (path.startsWith('$.consumers')) return 'bleed';
	return path.startsWith('$.provenance') ? null : 'limits';
}

function togetherFaults(type: Tree): readonly DocumentFault[] {
	return [
		...listAt(type, ['limits']).flatMap((line, at) => boundFault(line, ['limits', at])),
		...listAt(type, ['rotors']).flatMap((rotor, at) => [
			...listAt(rotor, ['channels']).flatMap((channel, index) => {
				const keys = ['rotors', at, 'channels', index];
				return [
					...orderFault(channel, keys, 'goalIps', 'limitIps'),
					...orderFault(channel, keys, 'limitIps', 'stopIps'),
				];
			}),
			...listAt(rotor, ['adjusters']).flatMap((adjuster, index) =>
				orderFault(adjuster, ['rotors', at, 'adjusters', index], 'min', 'max'),
			),
		]),
		...listAt(type, ['consumers']).flatMap((consumer, at) =>
			orderFault(valueAt(consumer, ['riseC']), ['consumers', at, 'riseC'], 'least', 'most'),
		),
		...listAt(type, ['charts']).flatMap((chart, at) => chartFaults(chart, ['charts', at])),
	];
}

function boundFault(line: Tree, keys: Keys): readonly DocumentFault[] {
	const given = ['above', 'below'].filter((bound) => valueAt(line, [bound]) !== undefined);
	if (given.length === 1) return [];
	const found = given.length === 0 ? 'nothing' : 'both';
	return [{ code: 'not-allowed', path: childPath('$', ...keys, 'above'), found, needed: 'one bound' }];
}

/** `lesser` may not be over `greater`; said at the greater one. */
function orderFault(tree: Tree, keys: Keys, lesser: string, greater: string): readonly DocumentFault[] {
	const [low, high] = [valueAt(tree, [lesser]), valueAt(tree, [greater])];
	if (typeof low !== 'number' || typeof high !== 'number' || low <= high) return [];
	const path = childPath('$', ...keys, greater);
	return [{ code: 'not-allowed', path, found: String(high), needed: 'not under the lesser one' }];
}

/** Empty cells first, each at its place; a table without any is read as a chart. */
function chartFaults(chart: Tree, keys: Keys): readonly DocumentFault[] {
	const empty = emptyCells(valueAt(chart, ['values']), [...keys, 'values']);
	if (empty.length > 0) return empty;
	if (faultsIn(chartSchema, chart).length > 0) return [];
	const read = readChart(chart);
	if (read.ok) return [];
	return [{ ...read.problem, path: childPath('$', ...keys) + read.problem.path.slice(1) }];
}

function emptyCells(values: unknown, keys: Keys): readonly DocumentFault[] {
	if (Array.isArray(values)) return values.flatMap((one, at) => emptyCells(one, [...keys, at]));
	if (values !== undefined && values !== null) return [];
	return [{ code: 'missing-field', path: childPath('$', ...keys), found: 'nothing', needed: 'a number' }];
}
