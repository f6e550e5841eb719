/**
 * The rotor problem `stillmast/rotor@1`: a rotor, its channels and adjusters, the type's coefficients and the runs flown.
 * Amplitudes are peak velocity at once per rev in ips; phases are lag in degrees (docs/rules/balance.md BAL-1).
 */
export interface RotorProblem {
	readonly format: 'stillmast/rotor@1';
	readonly rotor: Rotor;
	readonly channels: readonly Channel[];
	readonly adjusters: readonly Adjuster[];
	readonly coefficients: readonly Coefficient[];
	readonly priors?: readonly KindPrior[] | undefined;
	readonly noise: Noise;
	/** In the order flown. Without any, the answer is trial-mass advice. */
	readonly runs?: readonly Run[] | undefined;
	readonly track?: TrackModel | undefined;
	/** Adjuster ids that must stay as they are. */
	readonly locked?: readonly string[] | undefined;
	/** Loose pieces at hand per kind, beyond those on the rotor; pieces taken off may be used again. */
	readonly stock?: Readonly<Record<string, number>> | undefined;
	/** Blade whose tab and link stay as the reference; mass points on it may still change. */
	readonly untouchedBlade?: string | null | undefined;
	readonly objective?: Objective | undefined;
	/** How many standard deviations of the prediction the choice adds to each channel's mean; 0.5 unless stated. */
	readonly cautionSd?: number | undefined;
	/** Most adjusters a proposal may touch; 5 unless stated. */
	readonly maxTouches?: number | undefined;
	/** Type's own figures for the stop-and-inspect flags. */
	readonly inspectAt?: InspectLimits | undefined;
}

export type Objective = 'worst-ratio' | 'weighted-squares' | 'joint-chance';

export interface Rotor {
	readonly id: string;
	readonly rpm: number;
	readonly blades: readonly Blade[];
	/** Largest mean change per kind, in units of setting, averaged over the blades. */
	readonly meanChangeLimit?: Readonly<Record<string, number>> | undefined;
}

export interface Blade {
	readonly id: string;
	/** Angle the rotor turns after the reference blade until this one stands where the reference blade stood. */
	readonly passAngleDeg: number;
}

/** One once-per-rev quantity: a regime at a station. */
export interface Channel {
	readonly id: string;
	readonly regime: string;
	readonly station: string;
	readonly limitIps: number;
	/** The limit where no goal is stated. */
	readonly goalIps?: number | undefined;
	/** At or above, no faster regime is flown. */
	readonly stopIps?: number | undefined;
	/** For `weighted-squares`; 1 unless stated. */
	readonly weight?: number | undefined;
}

export interface Adjuster {
	readonly id: string;
	readonly kind: string;
	readonly blade?: string | null | undefined;
	readonly passAngleDeg: number;
	readonly min: number;
	readonly max: number;
	/** Settings are what was found plus whole steps, so what is found may be off the grid. */
	readonly step: number;
	readonly unit: string;
	readonly effort?: number | undefined;
	/** The only settings allowed, instead of found + n·step. */
	readonly values?: readonly number[] | undefined;
	/** Unequal pieces a mass point is built of; a setting is the sum of the amounts fitted. */
	readonly pieces?: readonly Piece[] | undefined;
	/** How far the true setting may be from the one written down, per change made. Tab 0.25, else 0, unless stated. */
	readonly settingSd?: number | undefined;
	/** Response of this adjuster relative to its kind's coefficient (a point at another radius); 1 unless stated. */
	readonly scale?: number | undefined;
	/** The user's words for a change upward and downward, such as "make longer by" and "make shorter by". */
	readonly positive?: { readonly plus: string; readonly minus: string } | undefined;
	/** Rotor speed in autorotation, per cent per unit of the mean change over the blades. */
	readonly rotorRpmPctPerUnit?: number | undefined;
	/** Inspection that a change of this adjuster asks for, in the user's words. */
	readonly inspection?: string | undefined;
}

export interface Piece {
	readonly id: string;
	readonly amount: number;
	/** All there are of it, loose or on the rotor; points that name the same id share them. No limit unless stated. */
	readonly stock?: number | undefined;
	/** Most of it at this point. */
	readonly maxHere?: number | undefined;
}

/** ips per unit of setting at pass angle 0. `sdRelative` is per axis, of the coefficient's own size. */
export interface Coefficient {
	readonly channel: string;
	readonly kind: string;
	readonly amplitudeIpsPerUnit: number;
	readonly phaseDeg: number;
	readonly sdRelative: number;
}

/** What is known of a kind's error against the table before any run of this aircraft. */
export interface KindPrior {
	readonly kind: string;
	/** Relative sd of the gain common to the kind. */
	readonly commonGainSd?: number | undefined;
	readonly commonPhaseSdDeg?: number | undefined;
	/** Relative sd per axis of each channel's own part. */
	readonly channelSd?: number | undefined;
	/** Relative sd per axis of each adjuster's own part. */
	readonly adjusterSd?: number | undefined;
	/** Mean gain against the table; 1 unless stated. */
	readonly gain?: number | undefined;
	/** Mean phase error against the table; 0 unless stated. */
	readonly phaseDeg?: number | undefined;
	/** `fleet`: the sizes were learned from earlier aircraft, so they are not rescaled by this one's evidence. */
	readonly source?: 'table' | 'fleet' | undefined;
}

/** Run-to-run scatter per axis, on top of each reading's own `sdIps`. */
export interface Noise {
	readonly sdIps: number;
	/** Share of the amplitude that adds to the scatter, per axis. */
	readonly sdRelative?: number | undefined;
	/** Share of the run-to-run variance that is common to all channels of a run; 0 unless stated. */
	readonly commonShare?: number | undefined;
	/** Type's within-run sd of a reading's mean, the yardstick of the scatter flag. */
	readonly withinSdIps?: number | undefined;
}

export interface Run {
	readonly id: string;
	/** Absolute settings; what is missing is 0. */
	readonly settings?: Readonly<Record<string, number>> | undefined;
	readonly readings: Readonly<Record<string, Reading>>;
	/** False leaves the run out of learning and audit; true unless stated. */
	readonly use?: boolean | undefined;
	readonly context?: RunContext | undefined;
	/** Blade heights per regime; `sdMm` beside the blade ids. */
	readonly track?: Readonly<Record<string, Readonly<Record<string, number>>>> | undefined;
	/** Work done since the run before: none, not on the rotor (the fault may drift), or on a rotor part (it is forgotten). */
	readonly workSince?: 'none' | 'not-on-rotor' | 'rotor-part' | undefined;
	/** Airframe hours when flown, for the flag "out again soon". */
	readonly hoursH?: number | undefined;
}

export interface Reading {
	readonly amplitudeIps: number;
	/** Null or missing: the reading counts as amplitude only. */
	readonly phaseDeg?: number | null | undefined;
	/** Within-run sd of the mean, per axis. */
	readonly sdIps?: number | undefined;
}

export interface RunContext {
	readonly iasKt?: number | undefined;
	readonly torquePct?: number | undefined;
	readonly oatC?: number | undefined;
	readonly pressureAltitudeFt?: number | undefined;
	readonly massKg?: number | undefined;
	readonly wind?: string | undefined;
	readonly doors?: string | undefined;
	/** Variance added off condition, per axis, by whoever knows the regime's tolerance. */
	readonly extraSdIps?: number | undefined;
}

export interface TrackModel {
	readonly units: 'mm';
	readonly positive: 'high' | 'low';
	readonly limits?: readonly { readonly regime: string; readonly spreadMm: number }[] | undefined;
	readonly coefficients?: readonly TrackCoefficient[] | undefined;
}

export interface TrackCoefficient {
	readonly regime: string;
	readonly kind: string;
	readonly mmPerUnit: number;
	/** Relative sd of the coefficient, the same error on all blades. */
	readonly sdRelative: number;
}

/** Defaults in docs/rules/balance.md BAL-40 and after. */
export interface InspectLimits {
	readonly gainLow?: number | undefined;
	readonly gainHigh?: number | undefined;
	readonly tabDeg?: number | undefined;
	readonly trackHookMm?: number | undefined;
	readonly scatterRatio?: number | undefined;
	readonly soonHours?: number | undefined;
	/** Largest setting per kind that is still sane. */
	readonly settingByKind?: Readonly<Record<string, number>> | undefined;
}
