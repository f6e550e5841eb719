import type { Problem } from '../result/index.js';

/** What can be wrong with the meaning of a rotor problem whose shape is right. */
export type RotorProblemCode =
	| 'unknown-channel'
	| 'unknown-adjuster'
	| 'unknown-kind'
	| 'unknown-blade'
	| 'unknown-regime'
	| 'duplicate-id'
	| 'no-channels'
	| 'no-adjusters'
	| 'no-coefficients'
	| 'setting-out-of-range'
	| 'not-a-number'
	| 'out-of-range'
	| 'too-many-settings'
	| 'too-large';

export interface RotorProblemFault extends Problem {
	readonly code: RotorProblemCode;
	readonly path: string;
}
