/** The answer `stillmast/proposals@1`. Amplitudes in ips, phases as lag in degrees, chances 0 to 1. */
export interface Proposals {
	readonly format: 'stillmast/proposals@1';
	readonly state: RotorState;
	/** One per number of touched adjusters, 0 included, fewest first; empty without runs. */
	readonly proposals: readonly Proposal[];
	/** Index into `proposals`; null without runs. */
	readonly recommended: number | null;
	readonly learned: readonly LearnedKind[];
	/** Per channel, the part of the starting fault that no allowed change removes. */
	readonly unreachable: Readonly<Record<string, AmplitudeInterval>>;
	readonly inspect: readonly InspectFlag[];
	/** Null with fewer than two runs in use. */
	readonly audit: Audit | null;
	/** What would be recommended if the likeliest mistake had been made; null while the record stands unopposed. */
	readonly alternative: Alternative | null;
	/** Adjusters whose allowed settings reach only one direction (two blades): per kind, what another kind must do. */
	readonly lineOnly: readonly LineOnly[];
	/** What was given and could not be used, and how. */
	readonly unused: readonly UnusedInput[];
	/** Without runs, and while no phase was read and too few different settings were flown to do without. */
	readonly trial: TrialAdvice | null;
}

export interface RotorState {
	readonly run: string | null;
	readonly worstRatioToLimit: number | null;
	readonly worstRatioToGoal: number | null;
	readonly withinLimit: boolean | null;
	readonly withinGoal: boolean | null;
	/** Channels with no reading in the last run; inside is never claimed for them. */
	readonly unread: readonly string[];
}

export interface Proposal {
	readonly touches: number;
	readonly settings: Readonly<Record<string, number>>;
	readonly changes: readonly Change[];
	readonly predicted: Readonly<Record<string, PredictedReading>>;
	/** What the choice minimised, for `worst-ratio`: the worst of √(|mean|² + z²·sd²) / goal. */
	readonly worstRatioToGoal: number;
	/** The greatest value below which no set of this many changes can bring the objective's figure. */
	readonly lowerBound: number;
	readonly chanceAllWithinLimit: number;
	readonly chanceAllWithinGoal: number;
	/** Mean over the blades per kind, in units of setting; kinds with no mean change are absent. */
	readonly meanChange: Readonly<Record<string, number>>;
	/** Rotor speed in autorotation that the mean change shifts; null where the type gives no figure. */
	readonly rotorRpmPct: number | null;
	/** Results this proposal makes stale, such as `vibration`, `track`, `autorotation-rpm`. */
	readonly makesStale: readonly string[];
	/** Channels whose upper predicted value is at or above `stopIps`: build up in steps or change less. */
	readonly buildUp: readonly string[];
	/** Predicted track spread per regime; absent without track coefficients. */
	readonly track?: Readonly<Record<string, PredictedTrack>> | undefined;
	/** True when no better set exists for this many changes. */
	readonly proved: boolean;
	/** True while the likeliest mistake, if it was made, would ask for other settings than recommended. */
	readonly disputed: boolean;
}

export interface Change {
	readonly adjuster: string;
	readonly from: number;
	readonly to: number;
	readonly words: string;
	/** What then stands at a point built of pieces: how many by the piece's id. */
	readonly pieces?: Readonly<Record<string, number>> | undefined;
	readonly inspection?: string | undefined;
}

export interface PredictedReading {
	/** Amplitude and phase of the mean. */
	readonly amplitudeIps: number;
	readonly phaseDeg: number;
	/** Per axis, of the next reading. */
	readonly sdIps: number;
	/** 2.5 % and 97.5 % points of the next reading's amplitude. */
	readonly low95Ips: number;
	readonly high95Ips: number;
	/** Of the next reading. */
	readonly chanceWithinLimit: number;
	readonly chanceWithinGoal: number;
	/** Of the level behind the reading, without its scatter. */
	readonly chanceTrueLevelWithinLimit: number;
}

export interface PredictedTrack {
	readonly spreadMm: number;
	/** 97.5 % point of the largest difference between two blades. */
	readonly high95Mm: number;
	readonly heightsMm: Readonly<Record<string, number>>;
	readonly limitMm: number | null;
}

export interface AmplitudeInterval {
	readonly amplitudeIps: number;
	readonly low95Ips: number;
	readonly high95Ips: number;
}

export interface LearnedKind {
	readonly kind: string;
	readonly gain: number;
	readonly gain95: readonly [number, number];
	readonly phaseErrorDeg: number;
	readonly phaseError95: readonly [number, number];
	readonly words: string;
}

export type InspectCode =
	| 'gain-far-from-table'
	| 'tab-demand'
	| 'setting-demand'
	| 'track-hook'
	| 'scatter-grown'
	| 'out-again-soon'
	| 'unreachable-over-limit'
	| 'worse-twice';

export interface InspectFlag {
	readonly code: InspectCode;
	/** Kind, channel, adjuster or regime it is about. */
	readonly subject: string;
	readonly found: number;
	readonly limit: number;
	readonly words: string;
}

export interface Audit {
	/** The run whose readings are explained. */
	readonly run: string;
	readonly fits: boolean;
	/** Hypothesis ids of the likeliest answer. */
	readonly best: readonly string[];
	/** Most likely first; posteriors sum to 1. */
	readonly answers: readonly AuditAnswer[];
}

export interface Alternative {
	/** The answer of the audit it rests on. */
	readonly ids: readonly string[];
	readonly proposal: Proposal;
	/** True when it asks for other settings than the recommended proposal. */
	readonly differs: boolean;
}

export interface AuditAnswer {
	/** Hypotheses that mean the same reading. */
	readonly ids: readonly string[];
	readonly posterior: number;
	readonly words: string;
	/** The look that settles it. */
	readonly look: string;
	/** Adjuster the mistake is about, where it is about one. */
	readonly scope: readonly string[];
}

export interface LineOnly {
	readonly kind: string;
	readonly words: string;
}

export interface UnusedInput {
	readonly path: string;
	readonly code: 'no-phase' | 'excluded' | 'no-reading' | 'no-coefficient' | 'phase-below-noise';
}

/** A first mass to learn from, where nothing is known yet. */
export interface TrialAdvice {
	readonly adjuster: string | null;
	readonly from: number;
	readonly to: number;
	readonly expectedIps: number | null;
	readonly words: string;
}
