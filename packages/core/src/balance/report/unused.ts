import type { UnusedInput } from '../answer.js';
import type { RotorProblem } from '../model.js';

/** What was given and is not, or only partly, used: each with its JSON path. */
export function unusedInput(problem: RotorProblem): UnusedInput[] {
	const known = new Set(problem.coefficients.map((c) => c.kind));
	const found: UnusedInput[] = [];
	for (const [r, run] of (problem.runs ?? []).entries()) {
		const path = `$.runs[${r}]`;
		if (run.use === false) {
			found.push({ path, code: 'excluded' });
			continue;
		}
		for (const [id, reading] of Object.entries(run.readings)) {
			const phase = reading.phaseDeg ?? null;
			const at = `${path}.readings['${id}']`;
			if (phase === null) found.push({ path: at, code: 'no-phase' });
			// weighed for what it is worth, which is next to nothing
			else if (reading.amplitudeIps < problem.noise.sdIps) found.push({ path: at, code: 'phase-below-noise' });
		}
	}
	for (const [k, channel] of problem.channels.entries()) {
		const read = (problem.runs ?? []).some((run) => run.use !== false && run.readings[channel.id] !== undefined);
		if (!read) found.push({ path: `$.channels[${k}]`, code: 'no-reading' });
	}
	for (const [j, adjuster] of problem.adjusters.entries()) {
		if (!known.has(adjuster.kind)) found.push({ path: `$.adjusters[${j}]`, code: 'no-coefficient' });
	}
	return found;
}
