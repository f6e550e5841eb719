import { solveRotor } from '@stillmast/core/balance';
import { rehearse } from '@stillmast/rehearsal';
import { assessLineVerb, assessVerb } from './assess/verb.js';
import { feedVerb } from './feed/verb.js';
import { type ExitStatus, exitStatus, type Io, processIo } from './io.js';
import { marginVerb } from './margin/verb.js';
import { exportVerb } from './record/export-verb.js';
import { importVerb } from './record/import-verb.js';
import { verifyVerb } from './record/verify-verb.js';
import { reduceVerb } from './reduce/verb.js';
import { rehearseVerb } from './rehearse/verb.js';
import { serveVerb } from './serve/verb.js';
import { learnFleetVerb } from './solve/learn-fleet-verb.js';
import { solveVerb } from './solve/verb.js';
import { UsageError, type Verb } from './verb.js';

const verbs: readonly Verb[] = [
	solveVerb(solveRotor),
	learnFleetVerb(solveRotor),
	assessVerb,
	assessLineVerb,
	marginVerb,
	reduceVerb,
	verifyVerb,
	importVerb,
	exportVerb,
	rehearseVerb(rehearse),
	feedVerb,
	serveVerb,
];

function overview(): string {
	const widest = Math.max(...verbs.map((verb) => verb.name.length));
	return `usage: stillmast VERB ...

${verbs.map((verb) => `  ${verb.name.padEnd(widest)}  ${verb.summary}`).join('\n')}

\`stillmast help VERB\` tells more of one. Documents are described in docs/formats.
Exit status: 0 done; 1 what was asked about is not in order; 2 wrong document or usage.
`;
}

/**
 * The command line of Stillmast.
 * @param argv what stands after the program's name
 * @returns the exit status; nothing is thrown for what a caller can get wrong
 */
export async function main(argv: readonly string[], io: Io = processIo()): Promise<ExitStatus> {
	const [word, ...rest] = argv;
	if (word === undefined) {
		await io.err(overview());
		return exitStatus.wrongInput;
	}
	const asksHelp = word === 'help' || word === '--help' || word === '-h';
	const name = asksHelp ? rest[0] : word;
	if (name === undefined) {
		await io.out(overview());
		return exitStatus.fine;
	}
	const verb = verbs.find((one) => one.name === name);
	if (verb === undefined) {
		await io.err(`stillmast: there is no verb "${name}"\n\n${overview()}`);
		return exitStatus.wrongInput;
	}
	if (asksHelp || rest.includes('--help') || rest.includes('-h')) {
		await io.out(verb.help);
		return exitStatus.fine;
	}
	return runVerb(verb, rest, io);
}

async function runVerb(verb: Verb, args: readonly string[], io: Io): Promise<ExitStatus> {
	try {
		return await verb.run(args, io);
	} catch (error) {
		if (!(error instanceof UsageError)) throw error;
		await io.err(`stillmast ${verb.name}: ${error.message}\n\n${verb.help.split('\n\n')[0]}\n`);
		return exitStatus.wrongInput;
	}
}
