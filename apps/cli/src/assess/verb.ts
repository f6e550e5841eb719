import { createReadStream } from 'node:fs';
import type { Findings } from '@stillmast/core/exceedance';
import { fail, type Problem, type Result } from '@stillmast/core/result';
import type { LimitsDocument } from '@stillmast/formats/limits';
import { refusalOf } from '../document/fault.js';
import { isBlank, linesOf } from '../document/lines.js';
import { readFileBytes } from '../document/read-file.js';
import { type ExitStatus, exitStatus, type Io } from '../io.js';
import { onlyFile, readArgs, UsageError, type Verb } from '../verb.js';
import { findingsOf, findingsOfLine, limitsFrom } from './answer.js';
import { findingsForPeople } from './people.js';

const help = `usage: stillmast assess --limits LIMITS TRACE [--json] [--fail-outside]
       stillmast assess-line [--limits LIMITS] [--fail-outside] < lines

Judges a trace (CSV: header row, first column timeS, further columns parameter ids; - for standard input) against
limit lines (stillmast/limits@1): episodes with ranges of start, duration and peak, what was proved and what is
possible, which line governs, and what no sample could have shown. The trace is read as a stream, however long.

  --json          the answer as JSON (stillmast/findings@1) and nothing else
  --ndjson        as assess-line: one document a line from standard input, {"limits": {...}, "columns": ["timeS", ...],
                  "rows": [[0, ...], ...]}, one answer a line, in order; a bad line is answered {"error": {...}}.
                  With --limits the lines need none of their own
  --fail-outside  status 1 if a line was passed, proved or possibly

Exit status: 0 answered, whatever the answer; 1 with --fail-outside; 2 wrong document, trace or usage.
`;

const options = {
	limits: { type: 'string' },
	json: { type: 'boolean' },
	ndjson: { type: 'boolean' },
	'fail-outside': { type: 'boolean' },
} as const;

export const assessVerb: Verb = {
	name: 'assess',
	summary: 'traces against limit lines: what was passed, for how long, and what nobody saw',
	help,
	run: (args, io) => run(args, io, false),
};

/** `assess --ndjson` by a name of its own. */
export const assessLineVerb: Verb = {
	name: 'assess-line',
	summary: 'the same, one document a line from standard input',
	help,
	run: (args, io) => run(args, io, true),
};

async function run(args: readonly string[], io: Io, byLine: boolean): Promise<ExitStatus> {
	const { values, positionals } = readArgs(args, options);
	const failOutside = values['fail-outside'] === true;
	const lines = byLine || values.ndjson === true;
	if (lines && positionals.length > 0) throw new UsageError('lines come from standard input; no file is taken');
	const file = lines ? '-' : onlyFile(positionals, 'TRACE');
	if (!lines && values.limits === undefined) throw new UsageError('--limits is missing');
	const limits = values.limits === undefined ? null : await limitsOf(values.limits);
	if (limits !== null && !limits.ok) return refuse(limits.problem, values.limits ?? '', values.json === true, io);
	if (lines) return assessLines(limits?.value ?? null, failOutside, io);
	if (limits === null) throw new UsageError('--limits is missing');
	const findings = await traced(limits.value, file, io);
	if (!findings.ok) return refuse(findings.problem, file, values.json === true, io);
	await io.out(
		values.json === true ? `${JSON.stringify(findings.value, null, 2)}\n` : findingsForPeople(findings.value),
	);
	return failOutside && findings.value.episodes.length > 0 ? exitStatus.notInOrder : exitStatus.fine;
}

async function limitsOf(file: string): Promise<Result<LimitsDocument>> {
	const bytes = await readFileBytes(file);
	return bytes.ok ? limitsFrom(bytes.value) : bytes;
}

async function traced(limits: LimitsDocument, file: string, io: Io): Promise<Result<Findings>> {
	if (file === '-') return findingsOf(limits, io.input);
	try {
		return await findingsOf(limits, createReadStream(file, { highWaterMark: 1 << 18 }));
	} catch (error) {
		const code = (error as NodeJS.ErrnoException).code;
		if (code === undefined) throw error;
		return fail({ code: code === 'ENOENT' ? 'no-file' : 'unreadable', found: `${file} (${code})` });
	}
}

async function refuse(problem: Problem, file: string, json: boolean, io: Io): Promise<ExitStatus> {
	const refusal = refusalOf(problem);
	if (json) await io.out(`${JSON.stringify({ error: refusal })}\n`);
	await io.err(`stillmast assess: ${file === '-' ? '' : `${file}: `}${refusal.words}\n`);
	return exitStatus.wrongInput;
}

async function assessLines(limits: LimitsDocument | null, failOutside: boolean, io: Io): Promise<ExitStatus> {
	let outside = false;
	for await (const { number, bytes } of linesOf(io.input)) {
		if (bytes.ok && isBlank(bytes.value)) continue;
		const answer = bytes.ok ? findingsOfLine(bytes.value, limits) : bytes;
		outside ||= !answer.ok || answer.value.episodes.length > 0;
		const shown = answer.ok ? answer.value : { error: { ...refusalOf(answer.problem), line: number } };
		await io.out(`${JSON.stringify(shown)}\n`);
	}
	return failOutside && outside ? exitStatus.notInOrder : exitStatus.fine;
}
