import { fail, ok, type Problem, type Result } from '../result/index.js';
import type { Line } from './model.js';
import { leastBeyond, sameS } from './verdicts.js';

/** Least and most; null where nothing bounds the most. */
export type OpenRange = readonly [number, number | null];

/** What the trace showed of one episode. */
export interface TraceEvidence {
	readonly kind: 'trace';
	readonly id: string;
	readonly peak: OpenRange;
	readonly durationS: OpenRange;
}

/** What an instrument kept: its peak, and the time beyond a threshold of its own. */
export interface MemoryEvidence {
	readonly kind: 'memory';
	readonly id: string;
	readonly peak: number | null;
	/** Either way, in the unit of the peak; null when nobody knows: then it lowers nothing. */
	readonly accuracy: number | null;
	readonly threshold: number | null;
	readonly timeBeyondS: number | null;
	readonly timeAccuracyS: number | null;
	/** Whether it is known to have been cleared before this flight; if not, it may tell of another one. */
	readonly clearedBefore: boolean;
}

/** One person, asked alone and in ranges. */
export interface WitnessEvidence {
	readonly kind: 'witness';
	readonly id: string;
	readonly highestSure: number | null;
	readonly highestPossible: number | null;
	readonly atLeastS: number | null;
	readonly atMostS: number | null;
	readonly askedAlone: boolean;
}

export type Evidence = TraceEvidence | MemoryEvidence | WitnessEvidence;

/** Somebody narrows a most value: who, why, on what evidence, and which manual reference they looked up. */
export interface Decision {
	readonly by: string;
	readonly role: string;
	readonly why: string;
	readonly evidence: readonly string[];
	readonly reference: string;
	readonly peakMost?: number | undefined;
	readonly durationMostS?: number | undefined;
}

export interface Narrowing {
	readonly quantity: 'peak' | 'duration';
	readonly from: number | null;
	readonly to: number;
	/** Evidence ids, and the decision where a person did it. */
	readonly evidence: readonly string[];
	readonly decision: Pick<Decision, 'by' | 'role' | 'why' | 'reference'> | null;
}

export interface Contradiction {
	readonly quantity: 'peak' | 'duration';
	readonly first: { readonly id: string; readonly range: OpenRange };
	readonly second: { readonly id: string; readonly range: OpenRange };
}

export interface Adjudication {
	readonly peak: OpenRange;
	readonly durationS: OpenRange;
	readonly contradictions: readonly Contradiction[];
	readonly narrowings: readonly Narrowing[];
	readonly notes: readonly { readonly code: 'not-cleared' | 'not-asked-alone' | 'no-accuracy'; readonly id: string }[];
	readonly verdict: 'proved' | 'possible' | 'within';
}

export interface DecisionFault extends Problem {
	readonly code: 'decision-incomplete' | 'unknown-evidence' | 'below-least' | 'not-narrower' | 'no-evidence';
}

interface Claim {
	readonly id: string;
	readonly least: number;
	/** Of recorded evidence good enough to lower the most; null otherwise. */
	readonly most: number | null;
	/** How far it says it may have gone, whoever says it; widens, never lowers. */
	readonly reaches: number | null;
}

/**
 * One episode from all evidence. The least values are the greatest of all; the most values are lowered only by recorded
 * evidence good enough for it, or by a decision that says who, why and on what; never by a witness. Where two exclude
 * each other both are shown and their union governs. @rule EXC-11 EXC-12 EXC-13
 */
export function adjudicate(
	line: Line,
	evidence: readonly Evidence[],
	decisions: readonly Decision[] = [],
): Result<Adjudication, DecisionFault> {
	if (evidence.length === 0) return fail({ code: 'no-evidence', found: 0, needed: 'a trace, a memory or a witness' });
	const sense = line.below === undefined ? 1 : -1;
	const bound = sense * leastBeyond(line);
	const peakParts = joined('peak', evidence.map((one) => peakClaim(one, sense)).filter(isClaim));
	const timeParts = joined('duration', evidence.map((one) => timeClaim(one, sense, bound)).filter(isClaim));
	const decided = decide(sense, peakParts, timeParts, evidence, decisions);
	if (!decided.ok) return decided;
	const { peakMost, timeMost, narrowings } = decided.value;
	const peak: OpenRange = [sense * peakParts.least, peakMost === null ? null : sense * peakMost];
	const durationS: OpenRange = [timeParts.least, timeMost];
	return ok({
		peak,
		durationS,
		contradictions: [...peakParts.contradictions.map((one) => turned(one, sense)), ...timeParts.contradictions],
		narrowings,
		notes: evidence.flatMap(notesOf),
		verdict: verdictOf(line, bound, [peakParts.least, peakMost], durationS),
	});
}

function verdictOf(line: Line, bound: number, peak: OpenRange, durationS: OpenRange): Adjudication['verdict'] {
	const [least, most] = peak;
	if (most !== null && most <= bound) return 'within';
	const longer = (timeS: number): boolean => line.maxSeconds === 0 || timeS > line.maxSeconds + sameS;
	if (least > bound && longer(durationS[0])) return 'proved';
	return longer(durationS[1] ?? Number.POSITIVE_INFINITY) ? 'possible' : 'within';
}

const isClaim = (claim: Claim | null): claim is Claim => claim !== null;

function peakClaim(one: Evidence, sense: 1 | -1): Claim | null {
	if (one.kind === 'trace') {
		const most = one.peak[1] === null ? null : sense * one.peak[1];
		return { id: one.id, least: sense * one.peak[0], most, reaches: most };
	}
	if (one.kind === 'witness') {
		if (one.highestSure === null && one.highestPossible === null) return null;
		const least = one.highestSure === null ? Number.NEGATIVE_INFINITY : sense * one.highestSure;
		return {
			id: one.id,
			least,
			most: null,
			reaches: one.highestPossible === null ? null : sense * one.highestPossible,
		};
	}
	if (one.peak === null) return null;
	const known = one.clearedBefore && one.accuracy !== null;
	const about = one.accuracy ?? 0;
	return {
		id: one.id,
		least: known ? sense * one.peak - about : Number.NEGATIVE_INFINITY,
		most: one.accuracy === null ? null : sense * one.peak + about,
		reaches: one.accuracy === null ? sense * one.peak : null,
	};
}

/** Time beyond a threshold further in bounds the time from above, one further out from below. */
function timeClaim(one: Evidence, sense: 1 | -1, bound: number): Claim | null {
	if (one.kind === 'trace') {
		return { id: one.id, least: one.durationS[0], most: one.durationS[1], reaches: one.durationS[1] };
	}
	if (one.kind === 'witness') {
		if (one.atLeastS === null && one.atMostS === null) return null;
		return { id: one.id, least: one.atLeastS ?? 0, most: null, reaches: one.atMostS };
	}
	if (one.timeBeyondS === null || one.threshold === null || one.timeAccuracyS === null) return null;
	const threshold = sense * one.threshold;
	return {
		id: one.id,
		least: one.clearedBefore && threshold >= bound ? Math.max(0, one.timeBeyondS - one.timeAccuracyS) : 0,
		most: threshold <= bound ? one.timeBeyondS + one.timeAccuracyS : null,
		reaches: null,
	};
}

interface Joined {
	readonly least: number;
	readonly most: number | null;
	readonly lowering: string | null;
	readonly contradictions: readonly Contradiction[];
}

function joined(quantity: Contradiction['quantity'], claims: readonly Claim[]): Joined {
	const floor = quantity === 'duration' ? 0 : Number.NEGATIVE_INFINITY;
	const leasts = claims.map((claim) => claim.least);
	const contradictions = claims.flatMap((first, at) =>
		claims.slice(at + 1).flatMap((second): Contradiction[] => {
			const apart =
				(first.most !== null && second.least > first.most) || (second.most !== null && first.least > second.most);
			return apart ? [{ quantity, first: shown(first), second: shown(second) }] : [];
		}),
	);
	const bounding = claims.filter((claim) => claim.most !== null).sort((a, b) => (a.most ?? 0) - (b.most ?? 0));
	if (contradictions.length > 0) {
		const named = contradictions.flatMap(({ first, second }) => [first.id, second.id]);
		const apart = claims.filter(({ id }) => named.includes(id));
		const mosts = apart.map(({ most, reaches, least }) => most ?? reaches ?? least);
		const open = apart.some(({ most, reaches }) => most === null && reaches === null);
		return {
			least: Math.max(floor, Math.min(...apart.map(({ least }) => least))),
			most: open ? null : Math.max(...mosts),
			lowering: null,
			contradictions,
		};
	}
	return {
		least: Math.max(floor, ...leasts),
		most: bounding[0]?.most ?? null,
		lowering: bounding[0]?.id ?? null,
		contradictions,
	};
}

function shown({ id, least, most, reaches }: Claim): Contradiction['first'] {
	return { id, range: [least, most ?? reaches] };
}

function turned(one: Contradiction, sense: 1 | -1): Contradiction {
	const turn = ({ id, range: [least, most] }: Contradiction['first']): Contradiction['first'] => ({
		id,
		range: [sense * least, most === null ? null : sense * most],
	});
	return { ...one, first: turn(one.first), second: turn(one.second) };
}

interface Decided {
	readonly peakMost: number | null;
	readonly timeMost: number | null;
	readonly narrowings: readonly Narrowing[];
}

function decide(
	sense: 1 | -1,
	peak: Joined,
	time: Joined,
	evidence: readonly Evidence[],
	decisions: readonly Decision[],
): Result<Decided, DecisionFault> {
	const narrowings: Narrowing[] = [];
	const start = (quantity: Narrowing['quantity'], { most, lowering }: Joined): void => {
		if (most === null || lowering === null) return;
		const to = quantity === 'peak' ? sense * most : most;
		narrowings.push({ quantity, from: null, to, evidence: [lowering], decision: null });
	};
	start('peak', peak);
	start('duration', time);
	let [peakMost, timeMost] = [peak.most, time.most];
	for (const [at, decision] of decisions.entries()) {
		const path = `$.decisions[${at}]`;
		const fault = incomplete(decision, evidence, path);
		if (fault !== null) return fail(fault);
		const { by, role, why, reference, evidence: on } = decision;
		const asked = [
			['peak', decision.peakMost === undefined ? undefined : sense * decision.peakMost, peak.least, peakMost] as const,
			['duration', decision.durationMostS, time.least, timeMost] as const,
		];
		for (const [quantity, most, least, now] of asked) {
			if (most === undefined) continue;
			if (most < least) return fail({ code: 'below-least', path, found: most, needed: `at least ${least}` });
			if (now !== null && most >= now) return fail({ code: 'not-narrower', path, found: most, needed: `below ${now}` });
			const turn = (value: number): number => (quantity === 'peak' ? sense * value : value);
			const from = now === null ? null : turn(now);
			narrowings.push({ quantity, from, to: turn(most), evidence: on, decision: { by, role, why, reference } });
			if (quantity === 'peak') peakMost = most;
			else timeMost = most;
		}
	}
	return ok({ peakMost, timeMost, narrowings });
}

function incomplete(decision: Decision, evidence: readonly Evidence[], path: string): DecisionFault | null {
	const empty = (['by', 'role', 'why', 'reference'] as const).find((field) => decision[field].trim() === '');
	if (empty !== undefined || decision.evidence.length === 0) {
		return { code: 'decision-incomplete', path, found: 'nothing', needed: empty ?? 'evidence' };
	}
	const strange = decision.evidence.find((id) => !evidence.some((one) => one.id === id));
	return strange === undefined ? null : { code: 'unknown-evidence', path, found: strange, needed: 'an id of evidence' };
}

function notesOf(one: Evidence): Adjudication['notes'] {
	if (one.kind === 'witness') return one.askedAlone ? [] : [{ code: 'not-asked-alone', id: one.id }];
	if (one.kind === 'trace') return [];
	return [
		...(one.clearedBefore ? [] : [{ code: 'not-cleared' as const, id: one.id }]),
		...(one.accuracy === null ? [{ code: 'no-accuracy' as const, id: one.id }] : []),
	];
}
