import type { EntryOf, Kind, Role } from '@stillmast/formats/entry';
import { groupBy, type OfKind } from '../fold/groups.js';
import type { Judged, Person } from '../fold/state.js';
import type { EntrySet } from '../set/entry-set.js';
import { contentDigest, coveredBy, termsOf } from './content.js';
import type { Cover, SignatureState, SignedContent, Signing } from './state.js';

/** Kinds that change nothing of what was signed. */
const NEVER_AMENDS: readonly string[] = ['signature', 'enrolled', 'revoked', 'remark', 'reply'] satisfies Kind[];

export interface SigningInput {
	readonly of: OfKind;
	readonly judged: ReadonlyMap<string, Judged>;
	readonly people: ReadonlyMap<string, Person>;
	readonly rolesAsked: readonly Role[];
}

/** Who signed what, whether it holds, and what was added since. @rule REC-71 */
export function readSigning(set: EntrySet, input: SigningInput): Signing {
	const groups = [...groupBy(input.of.signature, ({ content }) => content).values()];
	const contents = groups
		.map((group) => readContent(set, group, input))
		.sort((a, b) => a.number - b.number || (a.content < b.content ? -1 : 1));
	const complete = contents.filter((one) => one.complete).at(-1);
	const added = complete?.added ?? [];
	return { state: stateOf(contents, complete), rolesAsked: input.rolesAsked, contents, added };
}

function stateOf(contents: readonly SignedContent[], complete: SignedContent | undefined): Signing['state'] {
	if (complete !== undefined) return complete.added.length === 0 ? 'signed' : 'added-after-signing';
	return contents.some(({ roles }) => roles.length > 0) ? 'in-part' : 'unsigned';
}

function readContent(set: EntrySet, group: readonly EntryOf<'signature'>[], input: SigningInput): SignedContent {
	const first = group[0] as EntryOf<'signature'>;
	const signatures = group.map((entry): SignatureState => ({ entry, cover: coverOf(set, entry) }));
	const holding = signatures.filter(({ cover }) => cover === 'holds');
	// A key has one role, so different roles are different keys. The role stated must be the key's own.
	const roles = input.rolesAsked.filter((role) =>
		holding.some(({ entry }) => entry.role === role && input.people.get(entry.by)?.role === role),
	);
	return {
		content: first.content,
		number: first.number,
		signatures,
		roles,
		complete: input.rolesAsked.length > 0 && roles.length === input.rolesAsked.length,
		added: holding.length === 0 ? [] : addedSince(set, first, input),
	};
}

function coverOf(set: EntrySet, entry: EntryOf<'signature'>): Cover {
	if (coveredBy(set, entry.heads, entry.lost).missing) return 'heads-missing';
	return contentDigest(set, termsOf(entry)) === entry.content ? 'holds' : 'content-differs';
}

/** Entries that amend and are not covered; what waits or is set apart amends nothing until it counts. */
function addedSince(set: EntrySet, entry: EntryOf<'signature'>, { judged, people }: SigningInput): string[] {
	const covered = new Set(coveredBy(set, entry.heads, entry.lost).entries.map(({ hash }) => hash));
	const added: string[] = [];
	for (const [hash, { entry: other, judgement }] of judged) {
		if (covered.has(hash) || NEVER_AMENDS.includes(other.kind)) continue;
		// A newer kind may amend in ways unknown here: told when it comes from somebody known.
		const newer = judgement.state === 'apart' && judgement.reason === 'newer-kind' && people.has(other.by);
		if (judgement.state === 'counts' || judgement.state === 'struck' || newer) added.push(hash);
	}
	return added;
}
