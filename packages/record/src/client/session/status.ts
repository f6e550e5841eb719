import type { Problem } from '@stillmast/core/result';
import type { EntrySet } from '../../set/entry-set.js';
import type { Conversation } from './conversation.js';
import type { Intake } from './intake.js';
import type { Places } from './places.js';
import type { SessionStatus } from './types.js';

/** Puts together what the screen shows of a session. */
export function readStatus(of: {
	readonly entries: EntrySet;
	readonly places: Places;
	readonly intake: Intake;
	readonly conversation: Conversation | null;
	/** Of an earlier session. */
	readonly lastContactMs: number | null;
	readonly problems: readonly Problem[];
	readonly storeProblem: Problem | null;
}): SessionStatus {
	const { entries, places, intake, conversation, problems, storeProblem } = of;
	let beingKept = 0;
	for (const state of places.unsettled.values()) if (state === 'being-kept') beingKept += 1;
	return {
		link: conversation?.link ?? { state: 'closed' },
		synced: conversation?.synced ?? false,
		lastContactMs: conversation?.lastContactMs ?? of.lastContactMs,
		role: conversation?.role ?? null,
		counts: {
			entries: entries.size,
			beingKept,
			notOnThisDevice: places.unsettled.size - beingKept,
			notAtHost: places.unstored.size,
			lacking: places.lacking,
			waitingForKey: intake.waiting,
		},
		problems: storeProblem ? [...problems, storeProblem] : problems,
	};
}
