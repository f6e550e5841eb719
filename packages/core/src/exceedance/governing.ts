import type { Limits, Line } from './model.js';
import { type Kept, leastBeyond } from './verdicts.js';

export interface Governing {
	readonly governing: Record<string, string | null>;
	readonly governingProved: Record<string, string | null>;
	readonly governingByFamily: Record<string, Record<string, string | null>>;
}

/**
 * The worst line that was passed or may have been, for each parameter and for each family of it. @rule EXC-10
 * @param kept what was found of each line, from a trace or from all evidence; a line that stands nowhere was not passed
 */
export function governingOf(limits: Limits, kept: readonly Pick<Kept, 'line' | 'verdict'>[]): Governing {
	const passed = new Set(kept.filter(({ verdict }) => verdict !== 'within').map(({ line }) => line));
	const proved = new Set(kept.filter(({ verdict }) => verdict === 'proved').map(({ line }) => line));
	const answer: Governing = { governing: {}, governingProved: {}, governingByFamily: {} };
	for (const { id, lines = [] } of limits.parameters) {
		if (lines.length === 0) continue;
		answer.governing[id] = worst(lines.filter((line) => passed.has(line.id)));
		answer.governingProved[id] = worst(lines.filter((line) => proved.has(line.id)));
		for (const { family } of lines) {
			if (family === undefined) continue;
			const own = lines.filter((line) => line.family === family && passed.has(line.id));
			answer.governingByFamily[family] = { ...answer.governingByFamily[family], [id]: worst(own) };
		}
	}
	return answer;
}

function worst(lines: readonly Line[]): string | null {
	return [...lines].sort(bySeverity)[0]?.id ?? null;
}

/** By rank where both have one; otherwise the bound further out, then the shorter time. */
function bySeverity(a: Line, b: Line): number {
	if (a.rank !== undefined && b.rank !== undefined && a.rank !== b.rank) return b.rank - a.rank;
	if ((a.below === undefined) !== (b.below === undefined)) return a.below === undefined ? -1 : 1;
	const apart = (leastBeyond(b) - leastBeyond(a)) * (a.below === undefined ? 1 : -1);
	return apart === 0 ? a.maxSeconds - b.maxSeconds : apart;
}
