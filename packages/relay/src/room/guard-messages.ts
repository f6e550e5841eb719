import type { Result } from '@stillmast/core/result';
import type { GuardProblem, Judged } from './guard.js';

export interface GuardJob {
	readonly id: number;
	readonly record: string;
	readonly update: Uint8Array;
	/** Public keys that the thread said it lacks, base64url. */
	readonly publicKeys: readonly string[];
}

export interface GuardVerdict {
	readonly id: number;
	readonly verdict: Result<Judged, GuardProblem>;
}
