import type { Problem } from '@stillmast/core/result';

export type JsonFaultCode =
	| 'not-json'
	| 'too-deep'
	| 'too-large'
	| 'duplicate-key'
	| 'reserved-key'
	| 'number-too-large';

/** Where the text stops being a document we read: JSON path, and line and column counted from 1. */
export interface JsonFault extends Problem {
	readonly code: JsonFaultCode;
	readonly path: string;
	readonly line?: number;
	readonly column?: number;
}
