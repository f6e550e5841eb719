import type { Card } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { type RampAttempt, type RampStanding, rampStanding, type WatchedLine } from '@stillmast/record/judge';
import type { RampAttempt as DrawnAttempt, IdealRamp } from '$lib/parts/ramp/ramp-bed.view.js';
import type { LaneReading } from '$lib/parts/wall/lane.view.js';
import type { WallRow } from '$lib/parts/wall/wall.view.js';
import { penInitial } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { judged as words } from '$lib/words/judged.js';
import { fieldsOf, newestFlightOf } from './card-fields.view.js';
import { clockText, penOf } from './people.view.js';

/** The attempts of one timed movement in the newest flight that has any. */
export interface RampSheet {
	readonly id: string;
	readonly title: string;
	readonly signal: string;
	/** What is ideal, to lay attempts over; null without a transition in the type data. */
	readonly ideal: IdealRamp | null;
	readonly drawn: readonly DrawnAttempt[];
	readonly summary: string;
	/** Oldest first, none dropped. */
	readonly attempts: readonly AttemptSheet[];
	readonly reference: string;
}

export interface AttemptSheet {
	readonly id: string;
	readonly title: string;
	readonly source: string;
	readonly rows: readonly WallRow[];
}

export function rampSheets(state: RecordState, card: Card, typeData: TypeData): RampSheet[] {
	return fieldsOf(card, 'ramp').map((field) => {
		const flight = newestFlightOf(state, field.id);
		const standing = rampStanding(state, typeData, field, flight ?? 0);
		const { rule, summary } = standing;
		const title = flight === null ? field.name : fill(words.titleIn, { name: field.name, flight: String(flight) });
		if (rule === null) {
			const nothing = { ideal: null, drawn: [], attempts: [], signal: '', reference: '' } as const;
			return { id: field.id, title, summary: fill(words.noRule, { name: field.name }), ...nothing };
		}
		return {
			id: field.id,
			title,
			signal: rule.signal === 'torquePct' ? 'torque' : 'lever',
			ideal: { fromPct: rule.from, toPct: rule.to, rampS: rule.aim.targetS, limitPct: null },
			drawn: drawnAttempts(standing),
			summary:
				summary.count === 0
					? fill(words.notFlown, { name: field.name })
					: fill(words.summary, {
							count: String(summary.count),
							inside: String(summary.inside),
							outside: String(summary.outside),
							cannot: String(summary.cannotTell),
						}),
			attempts: standing.attempts.map((attempt) => attemptSheet(attempt, standing, state)),
			reference: rule.reference,
		};
	});
}

/** First, best and newest; a called movement is known at its two ends only, and drawn straight between them. */
function drawnAttempts({ attempts, rule, target }: RampStanding): DrawnAttempt[] {
	if (rule === null) return [];
	const timed = attempts.filter((one) => one.timed !== null);
	const off = ({ timed: time }: RampAttempt) => Math.abs((time?.valueS ?? 0) - rule.aim.targetS);
	const [first, newest] = [timed[0], timed.at(-1)];
	const best = target === null ? undefined : [...timed].sort((a, b) => off(a) - off(b))[0];
	const chosen = [
		...(first !== undefined && first !== newest ? [{ role: 'first', attempt: first } as const] : []),
		...(best !== undefined && best !== first && best !== newest ? [{ role: 'best', attempt: best } as const] : []),
		...(newest === undefined ? [] : [{ role: 'newest', attempt: newest } as const]),
	];
	return chosen.map(({ role, attempt }) => ({
		id: attempt.id,
		role,
		samples: [
			{ atS: 0, valuePct: rule.from },
			{ atS: attempt.timed?.valueS ?? 0, valuePct: rule.to },
			{ atS: Math.max(rule.aim.targetS * 1.75, attempt.timed?.valueS ?? 0), valuePct: rule.to },
		],
	}));
}

function attemptSheet(attempt: RampAttempt, standing: RampStanding, state: RecordState): AttemptSheet {
	const { entry, source, watched } = attempt;
	return {
		id: attempt.id,
		title: `${fill(words.attempt, { number: String(entry.attempt) })}, ${clockText(entry.at)}`,
		source:
			source === 'trace'
				? words.source.trace
				: fill(words.source.declared, { pen: penInitial(penOf(state, entry.by)) }),
		rows: [timeRow(attempt, standing), ...watched.map(watchedRow)],
	};
}

function timeRow({ timed, verdict }: RampAttempt, { target, rule }: RampStanding): WallRow {
	const low = target?.atLeastS ?? 0;
	const high = target?.atMostS ?? rule?.aim.targetS ?? 1;
	const range = timed === null ? null : { value: timed.valueS, low95: timed.rangeS[0], high95: timed.rangeS[1] };
	return {
		id: 'time',
		label: words.time,
		unit: 's',
		digits: 2,
		limit: { kind: 'band', low, high },
		goal: null,
		reading: timeReading(range, verdict, low, high),
	};
}

function timeReading(
	range: { readonly value: number; readonly low95: number; readonly high95: number } | null,
	verdict: RampAttempt['verdict'],
	low: number,
	high: number,
): LaneReading {
	if (range === null) return { state: 'cannot-judge', reason: words.noTime };
	switch (verdict) {
		case 'inside':
		case 'outside':
			return { state: verdict, ...range };
		case 'cannot-tell':
			// the number's side, called close: the range reaches over the band's edge
			return { state: range.value >= low && range.value <= high ? 'near-inside' : 'near-outside', ...range };
		case 'no-target':
			return { state: 'cannot-judge', reason: words.noAim };
	}
}

function watchedRow({ line, extreme, side }: WatchedLine): WallRow {
	const bare = extreme === null ? null : { value: extreme, low95: extreme, high95: extreme };
	const limit = line.above ?? line.below ?? 0;
	return {
		id: line.id,
		label: line.words,
		unit: line.unit,
		digits: 1,
		limit: line.above === undefined ? { kind: 'at-least', limit, laneTo: limit * 1.12 } : { kind: 'at-most', limit },
		goal: null,
		reading: bare === null ? { state: 'missing' } : { state: side === 'beyond' ? 'outside' : 'inside', ...bare },
	};
}
