import type { Store } from '../store.js';

/** Calls that the worker answers; `reopen` and `close` concern the thread itself and are not among them. */
export type Operation = Exclude<keyof Store, 'reopen' | 'close' | 'listenElsewhere'>;

export interface Call {
	readonly id: number;
	/** `finish` folds the log into the file and ends the thread; `abandon` ends it as it is. */
	readonly operation: Operation | 'finish' | 'abandon';
	readonly values: readonly unknown[];
}

export type Answer =
	| { readonly id: number; readonly ok: true; readonly value: unknown }
	| { readonly id: number; readonly ok: false; readonly message: string; readonly code: string };

export interface WorkerStart {
	readonly path: string;
}
