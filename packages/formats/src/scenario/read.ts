import { fail, type Result } from '@stillmast/core/result';
import { childPath, type DocumentFault, readAs } from '../problem/index.js';
import { type Scenario, type ScenarioEvent, scenarioSchema } from './schema.js';

/**
 * Reads a parsed `stillmast/scenario@1` document.
 * @returns the scenario; or the first fault: of its shape, a device or an entry that nothing names, one that writes
 * while it is not there
 */
export function readScenario(value: unknown): Result<Scenario, DocumentFault> {
	const read = readAs(scenarioSchema, value);
	if (!read.ok) return read;
	const fault = deviceFault(read.value) ?? eventFault(read.value);
	return fault === undefined ? read : fail(fault);
}

function deviceFault({ devices, visitor }: Scenario): DocumentFault | undefined {
	const ids = devices.map(({ id }) => id);
	const twice = ids.findIndex((id, at) => ids.indexOf(id) < at);
	if (twice >= 0) {
		const path = childPath('$', 'devices', twice, 'id');
		return { code: 'not-allowed', path, found: `${ids[twice]} a second time`, needed: 'each id once' };
	}
	if (devices[0]?.joinsLater === true) {
		const path = childPath('$', 'devices', 0, 'joinsLater');
		return { code: 'not-allowed', path, found: 'true', needed: 'false: the first device opens the record' };
	}
	return unknownName('$.visitor', visitor, ids);
}

/** Walks the events in their order with who is there and what has a name by then. */
function eventFault({ devices, events }: Scenario): DocumentFault | undefined {
	const ids = devices.map(({ id }) => id);
	const here = new Set(devices.filter(({ joinsLater }) => joinsLater !== true).map(({ id }) => id));
	const named: string[] = [];
	for (const [at, event] of events.entries()) {
		const path = childPath('$', 'events', at);
		const fault = namesFault(event, path, ids, named) ?? absentFault(event, path, here);
		if (fault !== undefined) return fault;
		if (event.do === 'write' && event.as !== undefined) named.push(event.as);
		if (event.do === 'join' || event.do === 'find') here.add(event.device);
		if (event.do === 'lose') here.delete(event.device);
	}
	return undefined;
}

function namesFault(
	event: ScenarioEvent,
	path: string,
	ids: readonly string[],
	named: readonly string[],
): DocumentFault | undefined {
	for (const [field, id] of devicesNamed(event)) {
		const fault = unknownName(`${path}.${field}`, id, ids);
		if (fault !== undefined) return fault;
	}
	if (event.do !== 'write') return undefined;
	return unknownReference(event.fields, `${path}.fields`, ids, named);
}

function devicesNamed(event: ScenarioEvent): readonly (readonly [string, string])[] {
	const lost = event.do === 'sign' ? (event.lost ?? []) : [];
	const groups = event.do === 'connect' ? event.groups : [];
	return [
		...(['by', 'device', 'near', 'at'] as const).flatMap((field) => {
			const id = (event as Partial<Record<typeof field, string>>)[field];
			return id === undefined ? [] : [[field, id] as const];
		}),
		...lost.map(({ device }, at) => [`lost[${at}].device`, device] as const),
		...groups.flatMap((group, at) => group.map((id, index) => [`groups[${at}][${index}]`, id] as const)),
	];
}

function unknownReference(
	value: unknown,
	path: string,
	ids: readonly string[],
	named: readonly string[],
): DocumentFault | undefined {
	if (value === null || typeof value !== 'object') return undefined;
	const reference = referenceOf(value);
	if (reference !== null) {
		return unknownName(`${path}.${reference.what}`, reference.name, reference.what === 'keyOf' ? ids : named);
	}
	for (const [key, inner] of Object.entries(value)) {
		const place = Array.isArray(value) ? `${path}[${key}]` : childPath(path, key);
		const fault = unknownReference(inner, place, ids, named);
		if (fault !== undefined) return fault;
	}
	return undefined;
}

/** `{"hashOf": NAME}` or `{"keyOf": DEVICE}`; null for any other object. */
export function referenceOf(value: object): { readonly what: 'hashOf' | 'keyOf'; readonly name: string } | null {
	const [[what, name] = [], ...more] = Object.entries(value);
	if (more.length > 0 || typeof name !== 'string' || (what !== 'hashOf' && what !== 'keyOf')) return null;
	return { what, name };
}

/** Who does something must be there to do it. */
function absentFault(event: ScenarioEvent, path: string, here: ReadonlySet<string>): DocumentFault | undefined {
	const absent = (field: string, id: string): DocumentFault | undefined =>
		here.has(id)
			? undefined
			: {
					code: 'not-allowed',
					path: `${path}.${field}`,
					found: `${id}, which is not there then`,
					needed: [...here].join(', '),
				};
	switch (event.do) {
		case 'write':
		case 'sign':
		case 'lock-out':
		case 'join':
			return absent('by', event.by);
		case 'look':
			return absent('at', event.at);
		case 'find':
			return absent('near', event.near);
		case 'lose':
			return absent('device', event.device);
		case 'connect':
		case 'wait':
			return undefined;
	}
}

function unknownName(path: string, found: string, known: readonly string[]): DocumentFault | undefined {
	if (known.includes(found)) return undefined;
	const needed = known.length === 0 ? 'the name of an earlier entry; none has one' : `one of ${known.join(', ')}`;
	return { code: 'not-allowed', path, found, needed };
}
