import type { RecordState } from '@stillmast/record';
import { describe, expect, it } from 'vitest';
import { penOf } from '../src/lib/check/people.view.js';

type People = Pick<RecordState, 'people'>;

function enrolledAs(role: string): RecordState {
	return { people: new Map([['key', { role }]]) } as unknown as People as RecordState;
}

describe('penOf(state, key)', () => {
	it.each([
		['pilot', 'pilot'],
		['engineer', 'engineer'],
		['instructor', 'engineer'],
		['support', 'support'],
	])('gives a %s the %s pen', (role, pen) => {
		expect(penOf(enrolledAs(role), 'key')).toBe(pen);
	});

	it.each(['reviewer', 'host'])('gives a %s no pen: nobody may pass for the pilot', (role) => {
		expect(penOf(enrolledAs(role), 'key')).toBeNull();
	});

	it('gives a key that the record does not know no pen', () => {
		expect(penOf(enrolledAs('pilot'), 'another key')).toBeNull();
	});
});
