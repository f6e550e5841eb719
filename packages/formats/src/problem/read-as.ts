import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import * as v from 'valibot';
import { childPath } from './path.js';

export type DocumentFaultCode = 'missing-field' | 'unknown-field' | 'wrong-type' | 'not-allowed';

/** What is wrong with a document from outside, and where: `path` names the field, `needed` what may stand there. */
export interface DocumentFault extends Problem {
	readonly code: DocumentFaultCode;
	readonly path: string;
	readonly found: string;
	readonly needed: string;
}

/** Any schema, with nothing said about its types. */
type AnySchema = v.GenericSchema<unknown, unknown>;

/**
 * Reads a parsed JSON value by a schema.
 * @returns the value as the schema types it, or the first fault in document order of the schema
 */
export function readAs<T>(schema: v.GenericSchema<unknown, T>, value: unknown): Result<T, DocumentFault> {
	const read = v.safeParse(schema, value, { abortEarly: true });
	if (!read.success) return fail(faultOf(schema, read.issues[0]));
	const place = listForObject(schema, value);
	if (place === undefined) return ok(read.output);
	return fail({ code: 'wrong-type', path: childPath('$', ...place), found: 'a list', needed: 'an object' });
}

/** Every fault of a value, one for each place; for people who fill a document in and see all that is missing. */
export function faultsIn(schema: v.GenericSchema<unknown, unknown>, value: unknown): readonly DocumentFault[] {
	const read = v.safeParse(schema, value);
	const faults = (read.success ? [] : read.issues).map((issue) => faultOf(schema, issue));
	return faults.filter(({ path }, at) => faults.findIndex((one) => one.path === path) === at);
}

/** valibot takes a list for an object with numbered fields; a document from outside must not get away with it. */
function listForObject(schema: AnySchema, value: unknown): readonly (string | number)[] | undefined {
	const container = schema as AnySchema & Container;
	if (container.wrapped !== undefined) return listForObject(container.wrapped, value);
	if (value === null || typeof value !== 'object') return undefined;
	const isObject = container.entries !== undefined || container.value !== undefined;
	if (Array.isArray(value) && isObject) return [];
	for (const [key, inner] of Object.entries(value)) {
		const innerSchema = schemaAt(schema, [key]);
		const place = innerSchema && listForObject(innerSchema, inner);
		if (place !== undefined) return [Array.isArray(value) ? Number(key) : key, ...place];
	}
	return undefined;
}

function faultOf(schema: AnySchema, issue: v.BaseIssue<unknown>): DocumentFault {
	const keys = (issue.path ?? []).map((item) => item.key as string | number);
	const path = childPath('$', ...keys);
	if (issue.kind === 'schema' && issue.expected === 'never' && issue.type === 'strict_object') {
		const known = fieldsAt(schema, keys.slice(0, -1));
		return { code: 'unknown-field', path, found: showValue(keys.at(-1)), needed: `one of ${known.join(', ')}` };
	}
	if (issue.input === undefined) {
		return { code: 'missing-field', path, found: 'nothing', needed: neededText(issue, schemaAt(schema, keys)) };
	}
	return {
		code:
			issue.kind === 'schema' && issue.type !== 'literal' && issue.type !== 'picklist' ? 'wrong-type' : 'not-allowed',
		path,
		found: showValue(issue.input),
		needed: neededText(issue, undefined),
	};
}

/** Values from outside may be of any size: shown by their kind, or cut. */
function showValue(value: unknown): string {
	if (Array.isArray(value)) return `a list of ${value.length}`;
	if (value !== null && typeof value === 'object') return 'an object';
	const text = JSON.stringify(value) ?? String(value);
	return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

const kindWords: Readonly<Record<string, string>> = {
	Object: 'an object',
	Array: 'a list',
	string: 'text',
	number: 'a number',
	boolean: 'true or false',
};

/** What the rule asks for, in words; a missing field is described by its own schema. */
function neededText(issue: v.BaseIssue<unknown>, missing: AnySchema | undefined): string {
	if (missing !== undefined) return kindWords[missing.expects] ?? missing.expects;
	const { type, expected } = issue;
	if (type === 'finite') return 'a finite number';
	if (type === 'regex') return `text of the form ${expected}`;
	if (type === 'min_length' || type === 'max_length') return `a length of ${expected}`;
	if (type === 'check') return issue.message;
	return kindWords[expected ?? ''] ?? expected ?? issue.message;
}

/** What valibot's container schemas carry, of which a path may lead through any. */
interface Container {
	readonly entries?: Readonly<Record<string, AnySchema>>;
	readonly item?: AnySchema;
	readonly items?: readonly AnySchema[];
	readonly value?: AnySchema;
	readonly wrapped?: AnySchema;
}

function schemaAt(schema: AnySchema, keys: readonly (string | number)[]): AnySchema | undefined {
	const container = schema as AnySchema & Container;
	if (container.wrapped !== undefined) return schemaAt(container.wrapped, keys);
	const [key, ...rest] = keys;
	if (key === undefined) return schema;
	const inner = container.entries?.[key] ?? container.items?.[Number(key)] ?? container.item ?? container.value;
	return inner === undefined ? undefined : schemaAt(inner, rest);
}

function fieldsAt(schema: AnySchema, keys: readonly (string | number)[]): readonly string[] {
	const found = schemaAt(schema, keys) as (AnySchema & Container) | undefined;
	return Object.keys(found?.entries ?? {});
}
