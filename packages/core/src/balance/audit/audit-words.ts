import type { RotorProblem } from '../model.js';
import type { Hypothesis } from './hypotheses.js';

interface Sentence {
	readonly words: (scope: string) => string;
	readonly look: (scope: string) => string;
}

const count = (scope: string): string => `Count the pieces and measure the settings on ${scope} and its neighbours.`;

/** What each hypothesis says, and the look that settles it. The ids are the contract's; people never read them. */
const sentences: Readonly<Record<string, Sentence>> = {
	'as-recorded': {
		words: () => 'The change was made as written down and the reading is right.',
		look: () => 'Nothing to look for.',
	},
	'next-arm': { words: (s) => `The change on ${s} was made one place further on.`, look: count },
	'previous-arm': { words: (s) => `The change on ${s} was made one place too early.`, look: count },
	'swapped-arms': { words: (s) => `The changes on ${s} were exchanged.`, look: count },
	'sign-reversed': {
		words: (s) => `The change on ${s} was made the wrong way.`,
		look: (s) => `Measure the setting on ${s} and compare it with the one before.`,
	},
	'not-made': {
		words: (s) => `The change on ${s} was not made.`,
		look: (s) => `Measure the setting on ${s}: is it still the old one?`,
	},
	doubled: {
		words: (s) => `The change on ${s} was made twice.`,
		look: (s) => `Measure the setting on ${s}, or count the pieces.`,
	},
	'reference-moved': {
		words: () => 'The pulse came from another blade in this run.',
		look: () => 'Check on which blade the pulse mark is.',
	},
	'phase-sense': {
		words: () => 'Phase was read in the other sense of rotation in this run.',
		look: () => 'Check the phase convention set on the instrument.',
	},
	polarity: {
		words: (s) => `The sensor at ${s} was reversed in this run.`,
		look: (s) => `Tap the sensor at ${s} and see which way it reads.`,
	},
	'stations-swapped': {
		words: (s) => `The sensors at ${s} were exchanged in this run.`,
		look: (s) => `Tap one of ${s} and see which one answers.`,
	},
	outlier: {
		words: (s) => `The reading of ${s} alone does not belong to the others.`,
		look: (s) => `Read ${s} again from the instrument, or fly that regime again.`,
	},
	'none-fits': {
		words: () => 'No ordinary mistake explains this run.',
		look: () => 'Inspect the rotor by approved data before adjusting further.',
	},
};

export function wordsOf(hypothesis: Hypothesis): string {
	return sentenceOf(hypothesis).words(hypothesis.scope.join(' and '));
}

export function lookOf(hypothesis: Hypothesis): string {
	return sentenceOf(hypothesis).look(hypothesis.scope.join(' and '));
}

/** The scope as people name it: blades, stations or channels. */
export function scopeWords(problem: RotorProblem, scope: readonly string[]): readonly string[] {
	return scope.map((id) => {
		const adjuster = problem.adjusters.find((a) => a.id === id);
		const blade = adjuster?.blade ?? null;
		return adjuster && blade !== null ? `blade ${blade} (${adjuster.kind})` : id;
	});
}

function sentenceOf({ id }: Hypothesis): Sentence {
	const name = id.split(':', 1)[0]!;
	const sentence = sentences[name];
	if (!sentence) throw new RangeError(`no words for ${id}`);
	return sentence;
}
