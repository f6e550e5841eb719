import { describe, expect, it } from 'vitest';
import { auditRun, type Reading, type RotorProblem, type Run } from '../src/balance/index.js';
import { contractExample, levelsOf, solved, threeBlades } from './balance-examples.js';

/** A well-known rotor: the table is nearly right, so that one change tells mistakes apart. Invented data. */
const known: RotorProblem = {
	...threeBlades,
	coefficients: threeBlades.coefficients.map((c) => ({ ...c, sdRelative: 0.05 })),
	noise: { sdIps: 0.008 },
};
const first = known.runs![0]!;
const before = { 'plate-A': 1, 'plate-B': 1, 'plate-C': 1 };
const start: Run = { ...first, settings: before };
const planned = { ...before, 'plate-A': 6, 'tab-B': 3 };

/** The run as written down, with readings of what really happened. */
function audited(
	really: Readonly<Record<string, number>>,
	write: (r: Record<string, Reading>) => Record<string, Reading> = (r) => r,
) {
	const readings = write(levelsOf(known, start, really));
	return auditRun({ ...known, runs: [start, { id: 'r2', settings: planned, readings }] })!;
}

const everyPhase =
	(by: (phaseDeg: number, id: string) => number) =>
	(readings: Record<string, Reading>): Record<string, Reading> =>
		Object.fromEntries(Object.entries(readings).map(([id, r]) => [id, { ...r, phaseDeg: by(r.phaseDeg!, id) }]));

describe('auditRun(problem)', () => {
	it('[BAL-20] a change made as written down is as recorded, and posteriors sum to 1', () => {
		const { audit } = audited(planned);
		expect(audit).toMatchObject({ run: 'r2', fits: true });
		expect(audit.best).toContain('as-recorded');
		expect(audit.answers.reduce((sum, a) => sum + a.posterior, 0)).toBeCloseTo(1, 9);
		for (const [n, answer] of audit.answers.entries()) {
			expect(answer.posterior).toBeLessThanOrEqual(audit.answers[n - 1]?.posterior ?? 1);
		}
	});

	type Mistake = readonly [
		id: string,
		really: Record<string, number>,
		write?: (r: Record<string, Reading>) => Record<string, Reading>,
	];
	const mistakes: readonly Mistake[] = [
		['not-made', before],
		['next-arm', { ...before, 'plate-B': 6, 'tab-C': 3 }],
		['previous-arm', { ...before, 'plate-C': 6, 'tab-B': 3 }],
		['swapped-arms', { ...planned, 'tab-B': 0, 'tab-C': 3 }],
		['sign-reversed', { ...planned, 'tab-B': -3 }],
		['doubled', { ...planned, 'tab-B': 6 }],
		['reference-moved', planned, everyPhase((p) => p + 120)],
		['phase-sense', planned, everyPhase((p) => -p)],
		['polarity:vert', planned, everyPhase((p, id) => (id.endsWith('vert') ? p + 180 : p))],
		[
			'stations-swapped',
			planned,
			(r) => ({
				'hover/lat': r['hover/vert']!,
				'hover/vert': r['hover/lat']!,
				'speed/lat': r['speed/vert']!,
				'speed/vert': r['speed/lat']!,
			}),
		],
		['outlier:speed/lat', planned, (r) => ({ ...r, 'speed/lat': { amplitudeIps: 0.5, phaseDeg: 10 } })],
	];
	const wideTabs: RotorProblem = {
		...known,
		adjusters: known.adjusters.map((a) => (a.kind === 'tab' ? { ...a, min: -8, max: 8 } : a)),
	};
	it.each(mistakes.map(([id, ...rest]) => [id, rest] as const))(
		'[BAL-20] names %s with the look that settles it',
		(id, [really, write = (r) => r]) => {
			const readings = write(levelsOf(wideTabs, start, really));
			const { audit } = auditRun({ ...wideTabs, runs: [start, { id: 'r2', settings: planned, readings }] })!;
			expect(audit.best).toContain(id);
			expect(audit.fits).toBe(false);
			expect(audit.answers[0]!.look.length).toBeGreaterThan(10);
			// "arm" has three meanings in a workshop and is never said
			expect(`${audit.answers[0]!.words} ${audit.answers[0]!.look}`).not.toMatch(/\barm/);
		},
	);

	it('[BAL-22] readings that nothing explains fit no answer', () => {
		const random = [0.42, 0.37, 0.55, 0.61];
		const readings = Object.fromEntries(
			known.channels.map((c, k): [string, Reading] => [c.id, { amplitudeIps: random[k]!, phaseDeg: 77 * k * k + 10 }]),
		);
		const { audit } = auditRun({ ...known, runs: [start, { id: 'r2', settings: planned, readings }] })!;
		expect(audit.best).toEqual(['none-fits']);
		expect(audit.fits).toBe(false);
	});

	it('[BAL-21] on two blades next, previous, exchanged and reversed are one answer with all its names', () => {
		const two: RotorProblem = {
			...contractExample,
			rotor: {
				...contractExample.rotor,
				blades: [
					{ id: 'A', passAngleDeg: 0 },
					{ id: 'B', passAngleDeg: 180 },
				],
			},
			adjusters: contractExample.adjusters.slice(0, 2).map((a, n) => ({ ...a, passAngleDeg: 180 * n })),
			coefficients: contractExample.coefficients.map((c) => ({ ...c, sdRelative: 0.05 })),
			noise: { sdIps: 0.005 },
		};
		const from: Run = { ...contractExample.runs![0]!, settings: { 'plate-A': 4, 'plate-B': 4 } };
		const written = { 'plate-A': 7, 'plate-B': 4 };
		const readings = levelsOf(two, from, { 'plate-A': 4, 'plate-B': 7 });
		const { audit } = auditRun({ ...two, runs: [from, { id: 'r2', settings: written, readings }] })!;
		expect([...audit.best].sort()).toEqual(['next-arm', 'previous-arm', 'sign-reversed', 'swapped-arms']);
		expect(audit.answers.filter((a) => a.ids.includes('next-arm'))).toHaveLength(1);
	});

	it('without a change only mistakes of reading are asked', () => {
		const repeat: Run = { ...start, id: 'r2' };
		const { audit } = auditRun({ ...known, runs: [start, repeat] })!;
		expect(audit.best).toContain('as-recorded');
		expect(audit.answers.flatMap((a) => a.ids)).not.toContain('not-made');
	});

	it('is null with one run, and with nothing read with phase', () => {
		expect(auditRun(known)).toBeNull();
		const readings = { 'hover/lat': { amplitudeIps: 0.2, phaseDeg: null } };
		expect(auditRun({ ...known, runs: [start, { id: 'r2', settings: planned, readings }] })).toBeNull();
	});

	it('[BAL-23] a likely mistake is solved for beside the record, never instead of it', () => {
		const readings = levelsOf(known, start, before);
		const runs = [start, { id: 'r2', settings: planned, readings }];
		const answer = solved({ ...known, runs });
		expect(answer.alternative!.ids).toContain('not-made');
		const changed = (from: Readonly<Record<string, number>>, changes: readonly { adjuster: string; from: number }[]) =>
			changes.every((c) => c.from === (from[c.adjuster] ?? 0));
		expect(changed(planned, answer.proposals.at(-1)!.changes)).toBe(true);
		expect(changed(before, answer.alternative!.proposal.changes)).toBe(true);
		expect(answer.proposals.every((p) => p.disputed === answer.alternative!.differs)).toBe(true);
		const fine = solved({
			...known,
			runs: [start, { id: 'r2', settings: planned, readings: levelsOf(known, start, planned) }],
		});
		expect(fine.alternative).toBeNull();
		expect(fine.proposals.every((p) => !p.disputed)).toBe(true);
	});
});
