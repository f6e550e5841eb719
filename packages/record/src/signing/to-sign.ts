import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { FieldsOf } from '@stillmast/formats/entry';
import type { RecordState } from '../fold/state.js';
import type { EntrySet } from '../set/entry-set.js';
import { compareText } from '../set/order.js';
import { contentDigest, type LostDevices } from './content.js';

/** `waiting-for-entries`: entries are known to exist that are not here, of a device that is not named as lost. */
export interface ToSignProblem extends Problem {
	readonly code: 'not-opened' | 'waiting-for-entries' | 'too-many-heads';
}

/** The computed part of a signature entry; name, licence, role and statement are the signer's. */
export type ToSign = Pick<FieldsOf<'signature'>, 'content' | 'number' | 'previous' | 'heads' | 'lost'>;

const HEADS_MAX = 96;

/**
 * What a signature written now covers: the content signed last, if nothing that amends came after it (so that two
 * people sign the same), else a new one of everything here.
 * @param lost devices that will not come back; then what is missing of them does not block
 */
export function toSign(set: EntrySet, state: RecordState, lost: LostDevices = []): Result<ToSign, ToSignProblem> {
	if (state.opened === null) return fail({ code: 'not-opened' });
	const last = state.signing.contents.at(-1);
	const signed = last?.signatures.find(({ cover }) => cover === 'holds')?.entry;
	const isSame = last !== undefined && signed !== undefined && last.added.length === 0;
	// What the other signer gave up as lost holds nobody up who signs the same.
	const givenUp = [...lost, ...(isSame ? last.lost : [])].map(({ key }) => key);
	// Whose a hash is cannot be told: with a device lost, it may be one of its own.
	if (state.waiting.some(({ by }) => (by === null ? lost.length === 0 : !givenUp.includes(by)))) {
		return fail({ code: 'waiting-for-entries', found: state.waiting });
	}
	if (isSame) {
		const { content, number, previous, heads, lost: named } = signed;
		return ok({ content, number, previous, heads, ...(named === undefined ? {} : { lost: named }) });
	}
	const heads = set
		.frontier()
		.map(({ chain, seq, hash }) => ({ chain, seq, hash }))
		.sort((a, b) => compareText(a.chain, b.chain) || a.seq - b.seq || compareText(a.hash, b.hash));
	if (heads.length > HEADS_MAX) return fail({ code: 'too-many-heads', found: heads.length, needed: HEADS_MAX });
	const terms = { number: (last?.number ?? 0) + 1, previous: last?.content ?? null, heads };
	const withLost = lost.length === 0 ? terms : { ...terms, lost };
	return ok({ ...withLost, content: contentDigest(set, withLost) });
}
