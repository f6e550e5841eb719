import type { Proposal, Proposals } from '@stillmast/core/balance';
import type { RotorData } from '@stillmast/formats/type-data';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { chanceText } from '$lib/words/number.js';
import { vibrationText } from '$lib/words/vibration.js';
import { channelWords } from './wall-rows.view.js';

/** One proposal in the words of the workshop. */
export interface ProposalWords {
	readonly touches: number;
	readonly title: string;
	/** "Blade A: add 2 plates (0 to 2)", one per change. */
	readonly changes: readonly string[];
	readonly worst: string;
	readonly chanceLimit: string;
	readonly chanceGoal: string;
	readonly isProved: boolean;
	readonly isRecommended: boolean;
}

export function proposalWords(proposals: Proposals, index: number): ProposalWords | null {
	const proposal = proposals.proposals[index];
	if (proposal === undefined) return null;
	const { value, high } = worstOf(proposal);
	return {
		touches: proposal.touches,
		title: touchWords(proposal.touches),
		changes: proposal.changes.map(({ words }) => words),
		worst: fill(journey.workshop.worst, { value: vibrationText(value), high: vibrationText(high) }),
		chanceLimit: fill(journey.workshop.chanceAll, { chance: chanceText(proposal.chanceAllWithinLimit) }),
		chanceGoal: fill(journey.workshop.chanceGoal, { chance: chanceText(proposal.chanceAllWithinGoal) }),
		isProved: proposal.proved,
		isRecommended: index === proposals.recommended,
	};
}

/** The worst next reading of a proposal: its mean and its upper end. */
export function worstOf(proposal: Pick<Proposal, 'predicted'>): { readonly value: number; readonly high: number } {
	const all = Object.values(proposal.predicted);
	return {
		value: Math.max(0, ...all.map((one) => one.amplitudeIps)),
		high: Math.max(0, ...all.map((one) => one.high95Ips)),
	};
}

/** What no allowed change removes, where it reaches over a goal. */
export function remainderWords(proposals: Proposals, rotor: RotorData): string[] {
	return rotor.channels.flatMap((channel) => {
		const part = proposals.unreachable[channel.id];
		if (part === undefined || part.low95Ips <= channel.goalIps) return [];
		const value = vibrationText(part.amplitudeIps);
		return [fill(journey.workshop.remainder, { value, channel: channelWords(rotor, channel.id) })];
	});
}

function touchWords(touches: number): string {
	return touches === 1 ? journey.workshop.change1 : fill(journey.workshop.changes, { count: String(touches) });
}
