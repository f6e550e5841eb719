import { ouzel3Limits, ouzel3Ramp, type RehearsedAttempt, type RehearseSettings } from '@stillmast/rehearsal';
import { exitStatus } from '../io.js';
import { readArgs, UsageError, type Verb, wholeNumber } from '../verb.js';
import { attemptsForPeople } from './people.js';

const help = `usage: stillmast rehearse [--seed N] [--attempts N] [--target-s N] [--no-warning] [--json]

Lets a scripted pilot fly a timed power change on the simulated Ouzel 3 several times and judges
each attempt: two times of the lever's ramp, peak torque, least rotor speed, peak temperature.
The same numbers for the same seed. Helicopter, limits and pilot are invented.

  --seed N        of pilot, hand and gauges (1 unless stated)
  --attempts N    one after the other, by the same pilot (5 unless stated)
  --target-s N    time the ramp should take, 1 to 10 (2 unless stated)
  --no-warning    the pilot does not use the look-ahead warning
  --json          the attempts as JSON (stillmast/rehearsal@1) and nothing else

Exit status: 0 flown, whatever the outcome; 2 wrong usage.
`;

const options = {
	seed: { type: 'string' },
	attempts: { type: 'string' },
	'target-s': { type: 'string' },
	'no-warning': { type: 'boolean' },
	json: { type: 'boolean' },
} as const;

/** `stillmast rehearse`. The rehearsal is handed in, so that the verb's own tests fly nothing. */
export function rehearseVerb(fly: (settings: RehearseSettings) => readonly RehearsedAttempt[]): Verb {
	return {
		name: 'rehearse',
		summary: 'a timed power change on the simulated helicopter, with a scripted pilot',
		help,
		run: async (args, io) => {
			const { values, positionals } = readArgs(args, options);
			if (positionals.length > 0) throw new UsageError(`rehearse takes no file, found ${positionals.join(' ')}`);
			const settings = {
				seed: wholeNumber(values.seed ?? '1', '--seed', 0, 2 ** 31 - 1),
				attempts: wholeNumber(values.attempts ?? '5', '--attempts', 1, 1000),
				targetS: wholeNumber(values['target-s'] ?? '2', '--target-s', 1, 10),
				usesWarning: values['no-warning'] !== true,
			};
			const attempts = fly(settings);
			const { fromPct, toPct, bandS } = ouzel3Ramp(settings.targetS);
			const task = { fromPct, toPct, targetS: settings.targetS, bandS, limits: ouzel3Limits };
			if (values.json === true) {
				const answer = {
					format: 'stillmast/rehearsal@1',
					invented: true,
					seed: settings.seed,
					usesWarning: settings.usesWarning,
					task,
					attempts,
				};
				await io.out(`${JSON.stringify(answer, null, 2)}\n`);
				return exitStatus.fine;
			}
			const warning = settings.usesWarning ? 'with the warning' : 'without the warning';
			const title = `Lever from ${fromPct} to ${toPct} % in ${settings.targetS} s, ${warning}`;
			await io.out(attemptsForPeople(attempts, title));
			return exitStatus.fine;
		},
	};
}
