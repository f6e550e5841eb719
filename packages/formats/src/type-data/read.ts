import { fail, type Result } from '@stillmast/core/result';
import { type ChartDocument, readChart } from '../chart/index.js';
import { readLimits } from '../limits/index.js';
import { childPath, type DocumentFault, readAs } from '../problem/index.js';
import { type TypeData, typeDataSchema } from './schema.js';

/**
 * Reads a parsed `stillmast/type@1` document, with the charts and limits inside it.
 * @returns the type data; or the first fault: of its shape, of a chart or limits document in it (with its place), an id
 * that stands twice, a name that nothing in the document has
 */
export function readTypeData(value: unknown): Result<TypeData, DocumentFault> {
	const read = readAs(typeDataSchema, value);
	if (!read.ok) return read;
	const inner = innerFault(read.value) ?? doubleFault(read.value) ?? namesFault(read.value);
	return inner === undefined ? read : fail(inner);
}

/** A chart of the type data by the id of its result; `undefined` when the type has none of that name. */
export function chartOf(typeData: TypeData, resultId: string): ChartDocument | undefined {
	const found = typeData.charts?.find(({ result }) => result.id === resultId);
	const read = found === undefined ? null : readChart(found);
	return read?.ok ? read.value : undefined;
}

function innerFault({ charts = [], limitDocuments = [] }: TypeData): DocumentFault | undefined {
	for (const [at, chart] of charts.entries()) {
		const read = readChart(chart);
		if (!read.ok) return placed(read.problem, childPath('$', 'charts', at));
	}
	for (const [at, limits] of limitDocuments.entries()) {
		const read = readLimits(limits);
		if (!read.ok) return placed(read.problem, childPath('$', 'limitDocuments', at));
	}
	return undefined;
}

function placed(fault: DocumentFault, place: string): DocumentFault {
	return { ...fault, path: `${place}${fault.path.slice(1)}` };
}

function doubleFault(typeData: TypeData): DocumentFault | undefined {
	const lists: readonly (readonly [string, readonly string[]])[] = [
		['rotors', typeData.rotors.map(({ id }) => id)],
		['limits', typeData.limits.map(({ id }) => id)],
		['consumers', typeData.consumers.map(({ id }) => id)],
		['charts', (typeData.charts ?? []).map(({ result }) => result.id)],
		['holds', (typeData.holds ?? []).map(({ id }) => id)],
		['transitions', (typeData.transitions ?? []).map(({ id }) => id)],
		['due', (typeData.due ?? []).map(({ id }) => id)],
		['instruments', (typeData.instruments ?? []).map(({ id }) => id)],
	];
	for (const [name, ids] of lists) {
		const at = ids.findIndex((id, index) => ids.indexOf(id) < index);
		if (at >= 0) {
			const found = `${ids[at]} a second time`;
			return { code: 'not-allowed', path: childPath('$', name, at), found, needed: 'each id once' };
		}
	}
	return undefined;
}

/** Names that point within the document: charts of holds, lines of holds and transitions, the rotor of the autorotation. */
function namesFault(typeData: TypeData): DocumentFault | undefined {
	const charts = (typeData.charts ?? []).map(({ result }) => result.id);
	const lines = typeData.limits.map(({ id }) => id);
	const rotors = typeData.rotors.map(({ id }) => id);
	const { autorotation } = typeData;
	const asked: readonly (readonly [string, string, readonly string[]])[] = [
		...(typeData.holds ?? []).flatMap((hold, at) => [
			...hold.charts.map((id, index) => [childPath('$', 'holds', at, 'charts', index), id, charts] as const),
			...hold.lines.map((id, index) => [childPath('$', 'holds', at, 'lines', index), id, lines] as const),
		]),
		...(typeData.transitions ?? []).flatMap(({ watch }, at) =>
			watch.flatMap((one, watchAt) =>
				one.lines.map(
					(id, index) => [childPath('$', 'transitions', at, 'watch', watchAt, 'lines', index), id, lines] as const,
				),
			),
		),
		...(autorotation === undefined
			? []
			: ([
					['$.autorotation.chart', autorotation.chart, charts],
					['$.autorotation.rotor', autorotation.rotor, rotors],
				] as const)),
	];
	const wrong = asked.find(([, id, known]) => !known.includes(id));
	if (wrong === undefined) return undefined;
	const [path, found, known] = wrong;
	return {
		code: 'not-allowed',
		path,
		found,
		needed: known.length === 0 ? 'a name that stands here; none does' : `one of ${known.join(', ')}`,
	};
}
