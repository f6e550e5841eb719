import { isKind, type Kind, type Purpose, type Role } from '@stillmast/formats/entry';
import { mayWrite, roleTable } from '@stillmast/record/wire';
import type { Visitor } from '../room/seat.js';
import type { Trust } from '../room/trust.js';

/** Who comes with this key, and what the table of roles lets them send; null when they do not belong. @rule FEED-1 */
export function visitorOf(trust: Trust, key: string): Visitor | null {
	const { purpose, creator } = trust;
	const role = trust.roleOf(key);
	if (role === null || purpose === null) return null;
	const may = (kind: Kind) => writesKind(role, kind, purpose, creator === key);
	return {
		key,
		role,
		writes: Object.keys(roleTable).some((kind) => isKind(kind) && may(kind)),
		feeds: may('trace'),
		drafts: may('narrative'),
	};
}

/** May this role write the kind at all, whatever else is true of an entry? */
function writesKind(role: Role, kind: Kind, purpose: Purpose, creator: boolean): boolean {
	return [true, false].some((own) => mayWrite(role, kind, { purpose, creator, own, reasoned: true }));
}
