import {
	type Adjudication,
	adjudicate,
	type Decision,
	type DecisionFault,
	type Evidence,
	governingOf,
	type Line,
} from '@stillmast/core/exceedance';
import type { Card, CardStep } from '@stillmast/formats/card';
import type { EntryOf } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import type { LimitEvidence, RecordState } from '../fold/state.js';

type LimitLine = TypeData['limits'][number];
type Verdict = Adjudication['verdict'];

/** One limit line of a parameter as all evidence of one flight has it. */
export interface LineCase {
	/** The line as the type data word it. */
	readonly line: LimitLine;
	/** Whether the line's condition held where a witness places it; `unknown` when nobody says. */
	readonly condition: 'held' | 'unknown';
	readonly found: Adjudication;
	/** As the evidence has it, after what decisions narrowed; a condition nobody knows leaves at most `possible`. */
	readonly verdict: Verdict;
	/** The decision that weighs all evidence here; null while none does, or while two stand side by side. */
	readonly decision: EntryOf<'decision'> | null;
	/** Decisions that evidence has come after, or that do not know each other. */
	readonly olderDecisions: readonly EntryOf<'decision'>[];
	/** Why a decision could not narrow anything, for whoever wrote it. */
	readonly fault: DecisionFault | null;
}

/** What was said about one parameter in one flight, judged line by line. */
export interface LimitCase {
	readonly flight: number;
	readonly parameter: string;
	readonly evidence: LimitEvidence;
	readonly lines: readonly LineCase[];
	/** Lines whose condition belongs to other steps than those that witnesses name. */
	readonly elsewhere: readonly LimitLine[];
	/** The worst line passed or possibly passed, by what was decided and else by the evidence. */
	readonly governing: string | null;
	/** The worst line that was surely passed. */
	readonly governingProved: string | null;
	/** Every line that governs has a decision that weighs all evidence. */
	readonly isSettled: boolean;
}

/**
 * Every parameter of every flight about which somebody wrote evidence, in order of flight. @rule JDG-5 JDG-6
 * @param card its steps say which lines' conditions hold where
 */
export function limitCases(state: RecordState, card: Card, typeData: TypeData): readonly LimitCase[] {
	return state.limits
		.filter(({ witnesses, memories }) => witnesses.length + memories.length > 0)
		.map((evidence) => caseOf(evidence, card, typeData))
		.sort((a, b) => a.flight - b.flight);
}

/**
 * What a decision would make of a line, before it is written.
 * @returns the verdict it leaves, or why it cannot be taken
 */
export function weighed(
	one: LimitCase,
	line: LimitLine,
	decision: Omit<Decision, 'evidence'>,
): ReturnType<typeof adjudicate> {
	const evidence = evidenceOf(one.evidence, line);
	return adjudicate(coreLine(line), evidence, [{ ...decision, evidence: evidence.map(({ id }) => id) }]);
}

function caseOf(evidence: LimitEvidence, card: Card, typeData: TypeData): LimitCase {
	const ofParameter = typeData.limits.filter(({ parameter }) => parameter === evidence.parameter);
	const steps = card.steps.filter(({ title }) => evidence.witnesses.some(({ phase }) => phase === title));
	const placed = ofParameter.map((line) => ({ line, condition: conditionOf(line, steps, ofParameter) }));
	const lines = placed.flatMap(({ line, condition }) =>
		condition === 'elsewhere' ? [] : [lineCase(line, condition, evidence)],
	);
	const { governing, governingProved, governingByFamily } = governingOf(
		{ parameters: [{ id: evidence.parameter, lines: ofParameter.map((line) => rankedLine(line, typeData)) }] },
		lines.map((one) => ({ line: one.line.id, verdict: decidedVerdict(one) })),
	);
	const byFamily = Object.values(governingByFamily).map((of) => of[evidence.parameter] ?? null);
	const worst = governing[evidence.parameter] ?? null;
	return {
		flight: evidence.flight,
		parameter: evidence.parameter,
		evidence,
		lines,
		elsewhere: placed.flatMap(({ line, condition }) => (condition === 'elsewhere' ? [line] : [])),
		governing: worst,
		governingProved: governingProved[evidence.parameter] ?? null,
		isSettled: lines.every(({ line, decision }) => ![worst, ...byFamily].includes(line.id) || decision !== null),
	};
}

function lineCase(line: LimitLine, condition: LineCase['condition'], said: LimitEvidence): LineCase {
	const evidence = evidenceOf(said, line);
	const decisions = said.decisions.filter((one) => one.line === line.id || one.line === null);
	const whole = decisions.filter((one) => evidence.every(({ id }) => one.evidence.includes(id)));
	const decision = whole.length === 1 ? (whole[0] ?? null) : null;
	const plain = adjudicate(coreLine(line), evidence);
	const decided = decision === null ? plain : adjudicate(coreLine(line), evidence, [coreDecision(decision)]);
	if (!plain.ok) throw new Error(`evidence without a claim: ${plain.problem.code}`);
	const found = decided.ok ? decided.value : plain.value;
	return {
		line,
		condition,
		found,
		verdict: condition === 'unknown' && found.verdict === 'proved' ? 'possible' : found.verdict,
		decision,
		olderDecisions: decisions.filter((one) => one !== decision),
		fault: decided.ok ? null : decided.problem,
	};
}

/** A decision stands for the evidence, but nothing that is proved is decided away. */
export function decidedVerdict({ decision, verdict }: Pick<LineCase, 'decision' | 'verdict'>): Verdict {
	if (decision === null || verdict === 'proved') return verdict;
	switch (decision.finding) {
		case 'passed':
			return 'proved';
		case 'possible':
			return 'possible';
		case 'not-passed':
			return 'within';
	}
}

/** A step that lets several conditions of one parameter hold does not say which did. */
function conditionOf(
	line: LimitLine,
	steps: readonly CardStep[],
	ofParameter: readonly LimitLine[],
): LineCase['condition'] | 'elsewhere' {
	if (line.when === undefined) return 'held';
	if (steps.length === 0) return 'unknown';
	const allowing = steps.filter(({ lines }) => lines.includes(line.id));
	if (allowing.length === 0) return 'elsewhere';
	const conditional = ofParameter.filter(({ when }) => when !== undefined).map(({ id }) => id);
	const isSure = allowing.some(({ lines }) => lines.filter((id) => conditional.includes(id)).length === 1);
	return isSure ? 'held' : 'unknown';
}

function coreLine({ id, above, below, maxSeconds, family, reference }: LimitLine): Line {
	return { id, above, below, maxSeconds, family, reference };
}

/** With its rank, where a limits document of the type has the same line. */
function rankedLine(line: LimitLine, { limitDocuments }: TypeData): Line {
	const documented = limitDocuments?.flatMap(({ parameters }) => parameters.flatMap(({ lines }) => lines ?? []));
	return { ...coreLine(line), rank: documented?.find(({ id }) => id === line.id)?.rank };
}

/** A decision names the person by the key that wrote it. */
function coreDecision(entry: EntryOf<'decision'>): Decision {
	return {
		by: entry.by,
		role: 'engineer',
		why: entry.reason,
		evidence: entry.evidence,
		reference: entry.reference,
		peakMost: entry.peakAtMost ?? undefined,
		durationMostS: entry.timeAtMostS ?? undefined,
	};
}

function evidenceOf({ witnesses, memories }: LimitEvidence, line: LimitLine): readonly Evidence[] {
	return [...witnesses.map((one) => witnessEvidence(one, line)), ...memories.map(memoryEvidence)];
}

/** Times count for this line only as far as the value they refer to bounds it: further out from below, further in from above. */
function witnessEvidence(one: EntryOf<'witness'>, line: LimitLine): Evidence {
	const sense = line.below === undefined ? 1 : -1;
	const bound = line.above ?? line.below;
	const further = one.above === null || bound === undefined ? 0 : sense * (one.above - bound);
	return {
		kind: 'witness',
		id: one.hash,
		highestSure: one.peakSure,
		highestPossible: one.peakPossible,
		atLeastS: further >= 0 ? one.timeAtLeastS : null,
		atMostS: further <= 0 ? one.timeAtMostS : null,
		askedAlone: one.askedAlone,
	};
}

function memoryEvidence(one: EntryOf<'memory'>): Evidence {
	return {
		kind: 'memory',
		id: one.hash,
		peak: one.peak,
		accuracy: one.peakAccuracy,
		threshold: one.threshold,
		timeBeyondS: one.timeAboveS,
		timeAccuracyS: one.timeAccuracyS,
		clearedBefore: one.clearedAt !== null,
	};
}
