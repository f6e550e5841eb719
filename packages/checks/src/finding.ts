/** One breach of one of the repository's own rules: where, what stands there, what may stand there. */
export interface Finding {
	readonly check: string;
	/** Path from the top of the repository, with `/`. */
	readonly file: string;
	/** Counted from 1, where a line can be named. */
	readonly line?: number;
	readonly found: string;
	readonly allowed: string;
}

/** A text file of the repository. */
export interface TextFile {
	/** Path from the top of the repository, with `/`. */
	readonly path: string;
	readonly text: string;
}

/** One line per finding, as a compiler would print it. */
export function printFindings(findings: readonly Finding[]): string {
	return findings
		.map(({ check, file, line, found, allowed }) => {
			const place = line === undefined ? file : `${file}:${line}`;
			return `${place} [${check}] found ${found}; allowed: ${allowed}`;
		})
		.join('\n');
}

/** The line of an offset, counted from 1. */
export function lineAt(text: string, offset: number): number {
	let line = 1;
	for (let i = text.indexOf('\n'); i !== -1 && i < offset; i = text.indexOf('\n', i + 1)) line++;
	return line;
}
