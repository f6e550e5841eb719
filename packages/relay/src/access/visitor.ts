import { isKind, type Kind } from '@stillmast/formats/entry';
import { mayWriteSome, roleTable } from '@stillmast/record/wire';
import type { Visitor } from '../room/seat.js';
import type { Trust } from '../room/trust.js';

/** Who comes with this key, and what the table of roles lets them send; null when they do not belong. @rule FEED-1 */
export function visitorOf(trust: Trust, key: string): Visitor | null {
	const { purpose, creator } = trust;
	const role = trust.roleOf(key);
	if (role === null || purpose === null) return null;
	const may = (kind: Kind) => mayWriteSome(role, kind, { purpose, creator: creator === key });
	return {
		key,
		role,
		writes: Object.keys(roleTable).some((kind) => isKind(kind) && may(kind)),
		feeds: may('trace'),
		drafts: may('narrative'),
	};
}
