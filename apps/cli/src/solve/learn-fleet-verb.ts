import { fleetPriors, type KindPrior, type LearnedKind } from '@stillmast/core/balance';
import { type Refusal, refusalOf } from '../document/fault.js';
import { readFileBytes } from '../document/read-file.js';
import { type ExitStatus, exitStatus, type Io } from '../io.js';
import { readArgs, UsageError, type Verb } from '../verb.js';
import { answerTo } from './answer.js';
import type { Solver } from './solver.js';

const help = `usage: stillmast learn-fleet FILE... [--json]

Reads one rotor problem per earlier tail of a type (stillmast/rotor@1 with the runs of its signed
check, the same rotor of each) and says what they teach of the next tail: per kind of adjuster the
mean gain and phase error against the table and how far a tail may be from it. The answer is the
"priors" of that tail's rotor problem. A kind needs five tails.

  --json  { "tails": number, "priors": [...] } and nothing else

Exit status: 0 answered; 2 wrong document, too few tails or wrong usage.
`;

/** `stillmast learn-fleet`. The solver is handed in, as for `solve`. */
export function learnFleetVerb(solver: Solver): Verb {
	return {
		name: 'learn-fleet',
		summary: 'what earlier tails of a type teach of the next one, as priors of its rotor problem',
		help,
		run: async (args, io) => {
			const { values, positionals } = readArgs(args, { json: { type: 'boolean' } });
			if (positionals.length === 0) throw new UsageError('FILE is missing');
			const refuse = refusalTo(io, values.json === true);
			const tails: (readonly LearnedKind[])[] = [];
			for (const file of positionals) {
				const bytes = await readFileBytes(file);
				const answer = bytes.ok ? answerTo(bytes.value, solver, {}) : bytes;
				if (!answer.ok) return refuse(refusalOf(answer.problem), file);
				tails.push(answer.value.proposals.learned);
			}
			const priors = fleetPriors(tails);
			if (!priors.ok) return refuse(refusalOf(priors.problem));
			const told = { tails: tails.length, priors: priors.value };
			await io.out(values.json === true ? `${JSON.stringify(told, null, 2)}\n` : forPeople(told.tails, told.priors));
			return exitStatus.fine;
		},
	};
}

function refusalTo(io: Io, json: boolean): (refusal: Refusal, file?: string) => Promise<ExitStatus> {
	return async (refusal, file) => {
		if (json) await io.out(`${JSON.stringify({ error: refusal })}\n`);
		await io.err(`stillmast learn-fleet: ${file === undefined ? '' : `${file}: `}${refusal.words}\n`);
		return exitStatus.wrongInput;
	};
}

function forPeople(tails: number, priors: readonly KindPrior[]): string {
	const lines = priors.map(({ kind, gain = 1, commonGainSd = 0, phaseDeg = 0, commonPhaseSdDeg = 0 }) => {
		const turned = `${phaseDeg < 0 ? '−' : '+'}${Math.abs(phaseDeg).toFixed(0)}°`;
		return `  ${kind}: ${gain.toFixed(2)} ± ${commonGainSd.toFixed(2)} of the table, ${turned} ± ${commonPhaseSdDeg.toFixed(0)}° (1 sd)`;
	});
	return `What ${tails} tails teach of the next one:\n${lines.join('\n')}\nGive these to its rotor problem as "priors" (--json).\n`;
}
