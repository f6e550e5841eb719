import { type ParseArgsConfig, parseArgs } from 'node:util';
import type { ExitStatus, Io } from './io.js';

/** One word after `stillmast`. */
export interface Verb {
	readonly name: string;
	/** One line for the list of verbs. */
	readonly summary: string;
	/** The whole help of the verb: usage line, options, exit statuses. */
	readonly help: string;
	readonly run: (args: readonly string[], io: Io) => Promise<ExitStatus>;
}

/** A command line that says something we don't offer: answered with the sentence and the verb's usage line. */
export class UsageError extends Error {}

/** `parseArgs`, strict, with its complaints turned into usage errors. */
export function readArgs<T extends NonNullable<ParseArgsConfig['options']>>(args: readonly string[], options: T) {
	try {
		return parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
	} catch (error) {
		throw new UsageError(error instanceof Error ? error.message : String(error));
	}
}

/** The one file a verb works on. */
export function onlyFile(positionals: readonly string[], what: string): string {
	const [file, ...more] = positionals;
	if (file === undefined) throw new UsageError(`${what} is missing`);
	if (more.length > 0) throw new UsageError(`one file at a time, found ${positionals.length}`);
	return file;
}

/** A whole number in a range, from an option or the environment. */
export function wholeNumber(text: string, name: string, least: number, most: number): number {
	const value = Number(text);
	if (!/^\d+$/.test(text) || value < least || value > most) {
		throw new UsageError(`${name} is "${text}"; needed: a whole number from ${least} to ${most}`);
	}
	return value;
}
