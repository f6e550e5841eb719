import { isKind, type Purpose, type Role } from '@stillmast/formats/entry';
import { mayWrite, roleTable } from '@stillmast/record/wire';

/** Is there anything that this role may write in a record of this purpose, whatever else is true of it? */
export function writesAnything(role: Role, purpose: Purpose, creator: boolean): boolean {
	return Object.keys(roleTable).some(
		(kind) =>
			isKind(kind) && [true, false].some((own) => mayWrite(role, kind, { purpose, creator, own, reasoned: true })),
	);
}

/** May this role send live gauges into a record of this purpose? Whoever may write the trace of them. @rule FEED-1 */
export function feedsGauges(role: Role, purpose: Purpose, creator: boolean): boolean {
	return mayWrite(role, 'trace', { purpose, creator, own: true, reasoned: false });
}
