import type { Problem } from '@stillmast/core/result';

export type SignalFileFaultCode =
	/** Not a file of this kind, or broken off. */
	| 'not-this-format'
	/** A part of the format this reader does not know. */
	| 'not-supported'
	/** A column the setup names is not in the file. */
	| 'missing-column'
	/** A cell that should hold a number. */
	| 'not-a-number'
	/** A row shorter than the header asks for. */
	| 'short-row'
	/** A line too long to be one. */
	| 'line-too-long'
	/** The file's own sample rate is another than the setup's; nothing is resampled. */
	| 'sample-rate-differs';

/** What is wrong with a recording, and where: `path` names the line, dataset or chunk. */
export interface SignalFileFault extends Problem {
	readonly code: SignalFileFaultCode;
	readonly found: string;
	readonly needed: string;
	readonly path: string;
}

/** Text from a file of unknown origin, cut to a length that can be shown. */
export function shown(text: string): string {
	return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}
