/**
 * A check card as the core judges it: steps in flying order, and what the record knows. Words for people stay in the
 * document; nothing here depends on the record's format.
 */

/** A procedure that a step asks for, as the flight manual classes it. `backup`: proves a backup system or safety device. */
export type Procedure = 'normal' | 'abnormal' | 'emergency' | 'backup';

export interface CardStepModel {
	readonly id: string;
	/** Airspeed of the step's regime, kt; 0 in the hover, `null` on the ground. Absent: the step measures no regime. */
	readonly regimeKt?: number | null;
	/** Off the ground, whether or not it measures a regime. */
	readonly isAirborne?: boolean;
	readonly procedure: Procedure;
	/** Steps that must be done first, beside the order of the card. */
	readonly needs: readonly string[];
	/** Results that the step gives: `vibration/main/hover/lat`, `power`, a field's subject. */
	readonly gives: readonly string[];
	/** Conditions to begin it; all must hold. */
	readonly entry: readonly EntryCondition[];
}

/** A bound on a quantity that must hold before the step: `{ quantity: 'oatC', atLeast: -20 }`. */
export interface EntryCondition {
	readonly quantity: string;
	readonly atLeast?: number;
	readonly atMost?: number;
}

/** A reading at or above the level at which no faster regime is flown (`stopIps`). */
export interface StopReading {
	readonly result: string;
	/** As `regimeKt` of the step that gave it. */
	readonly regimeKt: number | null;
	readonly amplitudeIps: number;
	readonly stopIps: number;
}

/** What the record says of the flight that is open, or of the newest one. */
export interface CardFacts {
	/** Steps written, by id. */
	readonly written: ReadonlyMap<string, 'done' | 'later' | 'left-out'>;
	/** Why a step was put off or left out, by id, as written; none for those without. */
	readonly reasons: ReadonlyMap<string, string>;
	/** The flight is open: what was done in it was done after every change, since changes need the rotor stopped. */
	readonly isFlying?: boolean;
	/** Steps that the open or the newest flight was begun with; absent for the whole card. */
	readonly flown?: ReadonlySet<string>;
	/** Results that a change has made stale. */
	readonly stale: ReadonlySet<string>;
	/** Readings that count now, at or above their stop. */
	readonly stops: readonly StopReading[];
	/** Work on flight controls not yet inspected by another pen. */
	readonly inspectionsOpen: number;
	/** Open items from before this flight that nobody has gone through: a limit, a step put off, a setting not read off. */
	readonly notReviewed: readonly string[];
	/** Known quantities; what is missing is unknown. */
	readonly quantities: Readonly<Record<string, number>>;
}

export type BlockReason =
	| { readonly code: 'needs-step'; readonly needed: string }
	| { readonly code: 'stop-reached'; readonly found: StopReading }
	| {
			readonly code: 'entry-outside';
			readonly quantity: string;
			readonly found: number;
			readonly needed: EntryCondition;
	  }
	| { readonly code: 'entry-unknown'; readonly quantity: string; readonly needed: EntryCondition }
	| { readonly code: 'inspection-outstanding'; readonly found: number }
	| { readonly code: 'not-reviewed'; readonly found: readonly string[] };

export interface StepStanding {
	readonly id: string;
	/** `again`: done, but a change since has made a result of it stale. */
	readonly state: 'ahead' | 'done' | 'later' | 'left-out' | 'again';
	/** Why it was put off or left out; null when it was neither, or nobody said. */
	readonly reason: string | null;
	/** Why it should not be flown now; empty when nothing is known against it. Never a permission. */
	readonly blocks: readonly BlockReason[];
}

export interface CardStanding {
	readonly steps: readonly StepStanding[];
	/** First step neither done nor put off, in the card's order; null when there is none. */
	readonly next: string | null;
	/** Steps to fly on a short card: put off, or to be measured again. */
	readonly shortCard: readonly string[];
	readonly level: CheckLevel;
}

/** Derived class of the check flight with the rule that made it so. */
export interface CheckLevel {
	readonly level: 'A' | 'B';
	/** Steps whose procedure makes it Level A. */
	readonly because: readonly string[];
	readonly source: 'S-40';
}
