import { clockText } from '$lib/check/people.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import type { OtherFacts, RecordFacts } from './ready.view.js';

/** What is read of a check. */
type Read = Pick<LiveCheck, 'state' | 'status' | 'card' | 'typeData' | 'role' | 'may'> & {
	readonly pen: Pick<LiveCheck['pen'], 'name'> & { readonly key: Pick<LiveCheck['pen']['key'], 'fingerprint'> };
	readonly session: { readonly entries: Pick<LiveCheck['session']['entries'], 'causality'> };
};

/** What the record says of this device and of the crew's others. */
export function recordFacts(check: Read): RecordFacts {
	const { state, status, card, typeData, pen } = check;
	const { counts } = status;
	const own = pen.key.fingerprint;
	const compared = [...state.judged.values()].findLast(({ entry }) => entry.by === own && entry.clock !== null);
	return {
		entryCount: counts.entries,
		lackingCount: Math.max(
			counts.lacking,
			state.waiting.reduce((sum, { count }) => sum + count, 0),
		),
		unkeptCount: counts.beingKept + counts.notOnThisDevice,
		unstoredCount: counts.notAtHost,
		hasHost: status.link.state !== 'closed',
		card: card.title,
		type: typeData.type,
		revision: typeData.revision,
		pen: { name: pen.name, role: check.role, writes: check.may('step') },
		clock: compared?.entry.clock ?? null,
		others: otherDevices(check, own),
	};
}

/** Crew members with a device of their own, and how much of the record their last entry knew. */
function otherDevices({ state, session }: Read, own: string): OtherFacts[] {
	const entries = [...state.judged.values()].map(({ entry }) => entry);
	return [...state.people.values()]
		.filter(({ key, role, revokedBy }) => key !== own && revokedBy.length === 0 && isCrew(role))
		.map(({ key, name }) => {
			const last = entries.findLast(({ by }) => by === key);
			if (last === undefined) return { key, name, last: null };
			const known = session.entries.causality.past([last.hash]);
			return { key, name, last: { time: clockText(last.at), lacksCount: entries.length - known.size } };
		});
}

function isCrew(role: string): boolean {
	return role === 'pilot' || role === 'engineer';
}
