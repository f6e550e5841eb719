import type { RotorProblem } from '@stillmast/core/balance';

/**
 * The runs of an earlier check of the same rotor before this one's, with work on the rotor between them: what the
 * aircraft answered then counts less than what it answers now. The question stays as it is where this check has no run
 * yet, or where the earlier one was of another rotor: other adjusters or other channels. @rule JDG-14
 */
export function afterEarlier(problem: RotorProblem, earlier: RotorProblem): RotorProblem {
	const [first, ...rest] = problem.runs ?? [];
	const before = earlier.runs ?? [];
	if (first === undefined || before.length === 0 || !isSameRotor(problem, earlier)) return problem;
	const named = before.map((run) => ({ ...run, id: `earlier ${run.id}` }));
	return { ...problem, runs: [...named, { ...first, workSince: 'rotor-part' }, ...rest] };
}

function isSameRotor(a: RotorProblem, b: RotorProblem): boolean {
	return (
		a.rotor.id === b.rotor.id && names(a.adjusters) === names(b.adjusters) && names(a.channels) === names(b.channels)
	);
}

function names(all: readonly { readonly id: string }[]): string {
	return all
		.map(({ id }) => id)
		.toSorted()
		.join(' ');
}
