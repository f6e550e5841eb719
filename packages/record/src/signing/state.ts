import type { EntryOf, Role } from '@stillmast/formats/entry';
import type { LostDevices } from './content.js';

/** Does a signature cover what it says? `heads-missing`: entries that it covers are not here (yet). */
export type Cover = 'holds' | 'content-differs' | 'heads-missing';

export interface SignatureState {
	readonly entry: EntryOf<'signature'>;
	readonly cover: Cover;
}

/** People who signed the same content. */
export interface SignedContent {
	readonly content: string;
	readonly number: number;
	readonly signatures: readonly SignatureState[];
	/** Roles that signed it, by different keys, with a cover that holds. */
	readonly roles: readonly Role[];
	/** All roles asked for have signed. */
	readonly complete: boolean;
	/** Devices given up as lost when it was signed: what they wrote beyond `last` it does not cover. */
	readonly lost: LostDevices;
	/** Hashes of entries here that it does not cover and that amend the record, in total order. */
	readonly added: readonly string[];
}

/**
 * `unsigned` · `in-part`: some roles have signed the newest content · `signed` · `added-after-signing`: the newest
 * complete signing does not cover everything: needs signature again.
 */
export interface Signing {
	readonly state: 'unsigned' | 'in-part' | 'signed' | 'added-after-signing';
	readonly rolesAsked: readonly Role[];
	/** By number, then content; the old ones still hold over their own sets. */
	readonly contents: readonly SignedContent[];
	/** Added since the newest complete signing; empty while nothing is signed. */
	readonly added: readonly string[];
}
