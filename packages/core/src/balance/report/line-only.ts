import { turnBy } from '../../phasor/index.js';
import type { LineOnly } from '../answer.js';
import type { RotorProblem } from '../model.js';
import { isLocked } from '../propose/allowed.js';

/** Kinds whose free points lie on one line through the mast (two blades): across it another kind must do the work. */
export function lineOnlyKinds(problem: RotorProblem): LineOnly[] {
	const kinds = [...new Set(problem.coefficients.map((c) => c.kind))];
	return kinds.flatMap((kind): LineOnly[] => {
		const free = problem.adjusters.filter((a) => a.kind === kind && !isLocked(problem, a));
		const first = free[0];
		if (!first) return [];
		const along = turnBy(first.passAngleDeg);
		const offLine = free.some((a) => {
			const turn = turnBy(a.passAngleDeg);
			return Math.abs(along.re * turn.im - along.im * turn.re) > 1e-6;
		});
		if (offLine) return [];
		const words = `A ${kind} acts along one line only here; what lies across it needs sweep, hub shift or another kind.`;
		return [{ kind, words }];
	});
}
