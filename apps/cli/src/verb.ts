import { parseArgs } from 'node:util';
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

/** What a verb can be told by flags: a word by itself, or a word with a value, perhaps several times. */
export type Flags = Readonly<Record<string, { readonly type: 'boolean' | 'string'; readonly multiple?: boolean }>>;

type FlagValue<F extends Flags[string]> = F extends { readonly type: 'boolean' }
	? boolean
	: F extends { readonly multiple: true }
		? readonly string[]
		: string;

export interface ReadArgs<T extends Flags> {
	readonly values: { readonly [K in keyof T]?: FlagValue<T[K]> };
	readonly positionals: readonly string[];
}

/** `parseArgs`, strict, with its complaints turned into usage errors. */
export function readArgs<T extends Flags>(args: readonly string[], options: T): ReadArgs<T> {
	try {
		const { values, positionals } = parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
		// parseArgs has just checked each value against its flag's kind.
		return { values: values as ReadArgs<T>['values'], positionals };
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
