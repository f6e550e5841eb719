import type { Result } from '@stillmast/core/result';
import type { GuardProblem } from './guard.js';

export interface GuardJob {
	readonly id: number;
	readonly record: string;
	readonly update: Uint8Array;
	/** Public keys that the thread said it lacks, base64url. */
	readonly publicKeys: readonly string[];
}

export interface GuardVerdict {
	readonly id: number;
	/** Sound entries as texts: to read one again costs a third of what its copy between threads would. */
	readonly verdict: Result<readonly string[], GuardProblem>;
}
