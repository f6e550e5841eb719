import type { Kind } from '@stillmast/formats/entry';
import { mayWriteSome } from '../wire/role-table.js';
import type { RecordState } from './state.js';

/**
 * May the holder of this key write anything of a kind, as the record stands? Screens offer exactly this: nothing before
 * the key's enrolment is here, and nothing once it is revoked. @rule REC-44
 * @param key fingerprint
 */
export function mayWriteNow(
	{ people, purpose }: Pick<RecordState, 'people' | 'purpose'>,
	key: string,
	kind: Kind,
): boolean {
	const person = people.get(key);
	if (person === undefined || purpose === null || person.revokedBy.length > 0) return false;
	return mayWriteSome(person.role, kind, { purpose, creator: person.creator });
}
