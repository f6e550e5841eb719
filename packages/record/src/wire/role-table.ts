import type { Kind, Purpose, Role } from '@stillmast/formats/entry';

/**
 * Who may write what.
 * `yes` · `no` · `creator`: the record's creator only · `rehearsal`: in a record of purpose rehearsal only ·
 * `as-proposal`: not itself, only a `proposal` about it · `not-own-work`: not by the pen whose work it checks ·
 * strikes: `own` · `own-or-reasoned`: another's only with a reason · `reasoned`: any, with a reason.
 */
export type RoleRule =
	| 'yes'
	| 'no'
	| 'creator'
	| 'rehearsal'
	| 'as-proposal'
	| 'not-own-work'
	| 'own'
	| 'own-or-reasoned'
	| 'reasoned';

type Row = Readonly<Record<Role, RoleRule>>;

const WRITTEN_BY_CREW: Row = {
	pilot: 'yes',
	engineer: 'yes',
	support: 'no',
	instructor: 'rehearsal',
	reviewer: 'no',
	host: 'no',
};
const WORK_ON_AIRCRAFT: Row = { ...WRITTEN_BY_CREW, pilot: 'as-proposal', instructor: 'no' };
const TALK: Row = { ...WRITTEN_BY_CREW, support: 'yes' };
const TRUST: Row = {
	pilot: 'creator',
	engineer: 'creator',
	support: 'no',
	instructor: 'creator',
	reviewer: 'no',
	host: 'yes',
};

/** The one table of roles: fold, relay, screens and tests read it. @rule REC-40 */
export const roleTable: Readonly<Record<Kind, Row>> = {
	opened: WRITTEN_BY_CREW,
	enrolled: TRUST,
	revoked: TRUST,
	flight: WRITTEN_BY_CREW,
	header: WRITTEN_BY_CREW,
	run: WRITTEN_BY_CREW,
	step: WRITTEN_BY_CREW,
	reading: WRITTEN_BY_CREW,
	vibration: WRITTEN_BY_CREW,
	hold: WRITTEN_BY_CREW,
	mark: WRITTEN_BY_CREW,
	witness: WRITTEN_BY_CREW,
	memory: WRITTEN_BY_CREW,
	attempt: WRITTEN_BY_CREW,
	trace: { ...WRITTEN_BY_CREW, host: 'yes' },
	narrative: WRITTEN_BY_CREW,
	review: WRITTEN_BY_CREW,
	stopped: WRITTEN_BY_CREW,
	handover: WRITTEN_BY_CREW,
	adjustment: WORK_ON_AIRCRAFT,
	inspection: { ...WORK_ON_AIRCRAFT, engineer: 'not-own-work' },
	decision: WORK_ON_AIRCRAFT,
	use: WORK_ON_AIRCRAFT,
	proposal: TALK,
	reply: TALK,
	remark: TALK,
	strike: { ...WRITTEN_BY_CREW, pilot: 'own-or-reasoned', engineer: 'reasoned', support: 'own' },
	agree: WRITTEN_BY_CREW,
	signature: WRITTEN_BY_CREW,
};

/** Facts about the writer and the entry that a rule may need. */
export interface RoleFacts {
	readonly purpose: Purpose;
	/** Is the writer's key the record's creator? */
	readonly creator: boolean;
	/** The entry struck, or the work inspected, was written by the same key. */
	readonly own: boolean;
	/** A reason is given. */
	readonly reasoned: boolean;
}

/** May a writer of `role` write an entry of `kind`, given `facts`? */
export function mayWrite(role: Role, kind: Kind, facts: RoleFacts): boolean {
	const rule = roleTable[kind][role];
	switch (rule) {
		case 'yes':
			return true;
		case 'no':
		case 'as-proposal':
			return false;
		case 'creator':
			return facts.creator;
		case 'rehearsal':
			return facts.purpose === 'rehearsal';
		case 'not-own-work':
			return !facts.own;
		case 'own':
			return facts.own;
		case 'own-or-reasoned':
			return facts.own || facts.reasoned;
		case 'reasoned':
			return facts.reasoned;
	}
}

/**
 * May a writer of `role` write anything of `kind`, whatever else must be true of the entry? What screens offer and what
 * a host lets through; which entry of the kind may stand is for `mayWrite`.
 */
export function mayWriteSome(role: Role, kind: Kind, facts: Pick<RoleFacts, 'purpose' | 'creator'>): boolean {
	return [true, false].some((own) => mayWrite(role, kind, { ...facts, own, reasoned: true }));
}

/** Roles that may write anything at all; from the others the relay takes no updates. */
export function writes(role: Role): boolean {
	return Object.values(roleTable).some((row) => row[role] !== 'no' && row[role] !== 'as-proposal');
}
