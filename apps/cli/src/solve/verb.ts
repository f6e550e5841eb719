import type { SolveOptions } from '@stillmast/core/balance';
import { refusalOf } from '../document/fault.js';
import { isBlank, linesOf } from '../document/lines.js';
import { readFileBytes, readStreamBytes } from '../document/read-file.js';
import { type ExitStatus, exitStatus, type Io } from '../io.js';
import { onlyFile, readArgs, UsageError, type Verb, wholeNumber } from '../verb.js';
import { answerTo, isProvedInside } from './answer.js';
import { proposalsForPeople } from './people.js';
import type { Solver } from './solver.js';

const help = `usage: stillmast solve FILE [--json | --all] [--fail-outside] [--seed N] [--budget-s N]
       stillmast solve --ndjson [--fail-outside] [--seed N] [--budget-s N]

Reads a rotor problem (stillmast/rotor@1, docs/formats/rotor.schema.json) and answers with
adjustments, one proposal for each number of changes, the predicted readings with intervals,
what was learned of this aircraft, and whether the last reading fits the last change.
FILE may be - for standard input.

  --all           every proposal with its predicted readings, not only the recommended one
  --json          the answer as JSON (stillmast/proposals@1) and nothing else
  --ndjson        one document a line from standard input, one answer a line, in order;
                  a bad line is answered {"error": {...}} and the rest goes on
  --fail-outside  status 1 unless the last run shows every channel inside its limit
  --seed N        seed of the draws behind joint chances (1 unless stated)
  --budget-s N    most seconds for the search of one document; proposals that are not
                  proved best within it say so. Without it every proposal is proved.

Exit status: 0 answered, whatever the answer; 1 with --fail-outside; 2 wrong document or usage.
`;

const options = {
	json: { type: 'boolean' },
	all: { type: 'boolean' },
	ndjson: { type: 'boolean' },
	'fail-outside': { type: 'boolean' },
	seed: { type: 'string' },
	'budget-s': { type: 'string' },
} as const;

/** `stillmast solve`. The solver is handed in, so that the verb's own tests need no rotor. */
export function solveVerb(solver: Solver): Verb {
	return {
		name: 'solve',
		summary: 'adjustments that bring a rotor inside its limits, and how sure that is',
		help,
		run: async (args, io) => {
			const { values, positionals } = readArgs(args, options);
			const solveOptions = {
				...(values.seed === undefined ? {} : { seed: wholeNumber(values.seed, '--seed', 0, 2 ** 31 - 1) }),
				...(values['budget-s'] === undefined
					? {}
					: { budgetMs: 1000 * wholeNumber(values['budget-s'], '--budget-s', 1, 3600), nowMs: io.nowMs }),
			};
			const failOutside = values['fail-outside'] === true;
			if (values.ndjson === true) {
				if (positionals.length > 0) throw new UsageError('--ndjson reads standard input and takes no file');
				return solveLines(solver, solveOptions, failOutside, io);
			}
			const file = onlyFile(positionals, 'FILE');
			return solveOne(
				solver,
				solveOptions,
				file,
				{ json: values.json === true, all: values.all === true, failOutside },
				io,
			);
		},
	};
}

async function solveOne(
	solver: Solver,
	solveOptions: SolveOptions,
	file: string,
	{ json, all, failOutside }: { readonly json: boolean; readonly all: boolean; readonly failOutside: boolean },
	io: Io,
): Promise<ExitStatus> {
	const bytes = file === '-' ? await readStreamBytes(io.input) : await readFileBytes(file);
	const answer = bytes.ok ? answerTo(bytes.value, solver, solveOptions) : bytes;
	if (!answer.ok) {
		const refusal = refusalOf(answer.problem);
		if (json) await io.out(`${JSON.stringify({ error: refusal })}\n`);
		await io.err(`stillmast solve: ${file === '-' ? '' : `${file}: `}${refusal.words}\n`);
		return exitStatus.wrongInput;
	}
	const { problem, proposals } = answer.value;
	await io.out(json ? `${JSON.stringify(proposals, null, 2)}\n` : proposalsForPeople(problem, proposals, all));
	return failOutside && !isProvedInside(answer.value) ? exitStatus.notInOrder : exitStatus.fine;
}

async function solveLines(
	solver: Solver,
	solveOptions: SolveOptions,
	failOutside: boolean,
	io: Io,
): Promise<ExitStatus> {
	let outside = false;
	for await (const { number, bytes } of linesOf(io.input)) {
		if (bytes.ok && isBlank(bytes.value)) continue;
		const answer = bytes.ok ? answerTo(bytes.value, solver, solveOptions) : bytes;
		if (answer.ok) {
			outside ||= !isProvedInside(answer.value);
			await io.out(`${JSON.stringify(answer.value.proposals)}\n`);
		} else {
			outside = true;
			await io.out(`${JSON.stringify({ error: { ...refusalOf(answer.problem), line: number } })}\n`);
		}
	}
	return failOutside && outside ? exitStatus.notInOrder : exitStatus.fine;
}
