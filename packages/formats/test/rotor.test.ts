import type { RotorProblem } from '@stillmast/core/balance';
import fc from 'fast-check';
import { describe, expect, expectTypeOf, it } from 'vitest';
import { independentInspection, type RotorDocument, readRotor } from '../src/rotor/index.js';
import { fullRotor, leastRotor } from './rotor-example.js';

/**
 * Every field of a type, through lists, records and nullable values, to compare two shapes field by field. What stands
 * in a field is compared by the compiler where `readRotor` returns it.
 */
type Fields<T> = T extends readonly (infer Item)[]
	? Fields<Item>
	: T extends object
		? string extends keyof T
			? Fields<T[string]>
			: { readonly [K in keyof T]-?: Fields<Exclude<T[K], undefined | null>> }
		: 'value';

const problemOf = (value: unknown) => {
	const read = readRotor(value);
	return read.ok ? undefined : read.problem;
};

describe('readRotor(value)', () => {
	it('knows exactly the fields of RotorProblem', () => {
		expectTypeOf<Fields<RotorDocument>>().toEqualTypeOf<Fields<RotorProblem>>();
	});

	it('returns the document with every optional field, without the mean limit of a kind that is not there', () => {
		const { rotor, ...rest } = fullRotor;
		expect(readRotor(fullRotor)).toEqual({
			ok: true,
			value: { ...rest, rotor: { ...rotor, meanChangeLimit: { plate: 2 } } },
		});
	});

	it('takes `inspection: true` for words and `false` for none', () => {
		const withInspection = (inspection: unknown) => {
			const read = readRotor(withValue(leastRotor, ['adjusters', '0', 'inspection'], inspection));
			return read.ok ? read.value.adjusters[0]?.inspection : read.problem.code;
		};
		expect(withInspection(true)).toBe(independentInspection);
		expect(withInspection('torque check')).toBe('torque check');
		expect(withInspection(false)).toBeUndefined();
	});

	it('accepts a document without runs: the answer is then trial-mass advice', () => {
		expect(readRotor(leastRotor).ok).toBe(true);
	});

	it.each([
		['format', 'stillmast/rotor@2', 'not-allowed', '$.format'],
		['rotor.rpm', 0, 'not-allowed', '$.rotor.rpm'],
		['rotor.blades.1.passAngleDeg', '120', 'wrong-type', '$.rotor.blades[1].passAngleDeg'],
		['channels.0.limitIps', undefined, 'missing-field', '$.channels[0].limitIps'],
		['channels.0.id', 'two\nlines', 'not-allowed', '$.channels[0].id'],
		['adjusters.0.step', 0, 'not-allowed', '$.adjusters[0].step'],
		['adjusters.0.max', Number.NaN, 'wrong-type', '$.adjusters[0].max'],
		['coefficients.0.phaseDeg', 361, 'not-allowed', '$.coefficients[0].phaseDeg'],
		['noise.commonShare', 1.1, 'not-allowed', '$.noise.commonShare'],
		['runs.0.readings.hover/lat.amplitudeIps', -0.1, 'not-allowed', "$.runs[0].readings['hover/lat'].amplitudeIps"],
		['runs.0.readings.hover/lat.amplitude', 0.1, 'unknown-field', "$.runs[0].readings['hover/lat'].amplitude"],
		['runs.0.settings.plate-A', null, 'wrong-type', "$.runs[0].settings['plate-A']"],
		['objective', 'best', 'not-allowed', '$.objective'],
		['maxTouches', 1.5, 'not-allowed', '$.maxTouches'],
		['comment', 'x', 'unknown-field', '$.comment'],
	])('refuses %s = %j with %s at %s', (where, value, code, path) => {
		expect(problemOf(withValue(fullRotor, where.split('.'), value))).toMatchObject({ code, path });
	});

	it('never throws and always names a path, whatever stands at any place', () => {
		const places = placesOf(fullRotor);
		const anything = fc.oneof(fc.jsonValue({ maxDepth: 2 }), fc.constantFrom(undefined, Number.NaN, Infinity, -0));
		fc.assert(
			fc.property(fc.constantFrom(...places), anything, (place, value) => {
				const problem = problemOf(withValue(fullRotor, place, value));
				if (problem !== undefined) expect(problem.path).toMatch(/^\$/);
			}),
			{ seed: 11, numRuns: 2000 },
		);
	});
});

/** A copy of `value` with another value at the place; undefined takes the field away. */
function withValue(value: unknown, place: readonly string[], replacement: unknown): unknown {
	const [key, ...rest] = place;
	if (key === undefined) return replacement;
	if (Array.isArray(value))
		return value.map((item, at) => (String(at) === key ? withValue(item, rest, replacement) : item));
	const fields = value as Readonly<Record<string, unknown>>;
	const inner = withValue(fields[key], rest, replacement);
	const copy: Record<string, unknown> = { ...fields, [key]: inner };
	if (inner === undefined) delete copy[key];
	return copy;
}

function placesOf(value: unknown): readonly (readonly string[])[] {
	if (value === null || typeof value !== 'object') return [[]];
	return Object.entries(value).flatMap(([key, inner]) => [[key], ...placesOf(inner).map((place) => [key, ...place])]);
}
