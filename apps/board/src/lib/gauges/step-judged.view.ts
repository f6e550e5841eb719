import type { FeedWatch } from '@stillmast/core/feed';
import type { HoldJudgement, HoldObstacle } from '@stillmast/core/power';
import { tracedAttempt } from '@stillmast/core/transition';
import type { CardFieldOf, CardStep } from '@stillmast/formats/card';
import type { HoldData, TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { holdRule, targetOf } from '@stillmast/record/judge';
import type { ThreadSample } from '$lib/parts/steady/steady-thread.view.js';
import { fill } from '$lib/words/fill.js';
import { gauges as words } from '$lib/words/gauges.js';
import { glass } from '$lib/words/glass.js';
import { numberText } from '$lib/words/number.js';
import { namingOf } from './parameter-names.js';

/** A hold or a movement of the step flown now, as the feed shows it. */
export interface JudgedNow {
	readonly id: string;
	readonly sentence: string;
	/** What stands in the way, one each. */
	readonly because: readonly string[];
	readonly thread: Thread | null;
}

/** The gauge that moves most against its band, over the last seconds. */
export interface Thread {
	readonly label: string;
	readonly samples: readonly ThreadSample[];
	readonly band: { readonly low: number; readonly high: number };
	readonly wallWords: readonly [string, string];
}

const threadS = 20;
/** A movement is looked for this far back. */
const rampWithinS = 20;

/** By the same judgements as files. @rule FEED-6 */
export function judgedNow(
	watch: FeedWatch,
	step: CardStep | null,
	{ state, typeData }: { readonly state: RecordState; readonly typeData: TypeData },
	flight: number,
): readonly JudgedNow[] {
	return (step?.fields ?? []).flatMap((field) => {
		if (field.kind === 'hold') return holdNow(watch, field, state, typeData, flight);
		return field.kind === 'ramp' ? rampNow(watch, field, typeData) : [];
	});
}

function holdNow(
	watch: FeedWatch,
	{ id, name, hold }: CardFieldOf<'hold'>,
	state: RecordState,
	typeData: TypeData,
	flight: number,
): readonly JudgedNow[] {
	const data = typeData.holds?.find((one) => one.id === hold);
	if (data === undefined) return [];
	const rule = holdRule(data, typeData);
	const judged = watch.hold(rule, confirmedOf(state, id, data, flight));
	if (!judged.ok) return [];
	const needed = String(rule.stabiliseS + rule.recordS);
	const { proved, because } = judged.value;
	return [
		{
			id,
			sentence: proved ? fill(words.held, { name, needed }) : fill(words.notHeld, { name }),
			because: proved ? [] : because.map((one) => obstacleWords(one, data, typeData)),
			thread: threadOf(watch, data, judged.value, typeData),
		},
	];
}

/** What the crew has confirmed for this hold. */
function confirmedOf(
	state: RecordState,
	fieldId: string,
	{ confirmed }: HoldData,
	flight: number,
): Readonly<Record<string, boolean>> {
	return Object.fromEntries(
		confirmed.flatMap(({ quantity }) => {
			const subject = `${fieldId}/${quantity}`;
			const held = state.readings.findLast((one) => one.flight === flight && one.subject === subject)?.holds;
			return typeof held?.value === 'boolean' ? [[quantity, held.value] as const] : [];
		}),
	);
}

function obstacleWords({ code, id, found, needed }: HoldObstacle, hold: HoldData, typeData: TypeData): string {
	const { name, unit, digits } = namingOf(typeData, id);
	const text = (value: HoldObstacle['found'] | HoldObstacle['needed']) =>
		typeof value === 'number' ? `${numberText(value, { digits: digits + 1 })} ${unit}`.trim() : String(value);
	switch (code) {
		case 'span':
			return fill(words.because.span, { name, found: text(found), needed: text(needed) });
		case 'slope':
			return fill(words.because.slope, { name, found: text(found), needed: text(needed) });
		case 'gap':
			return fill(words.because.gap, { found: seconds(found) });
		case 'too-short':
			return fill(words.because.tooShort, { found: seconds(found), needed: seconds(needed) });
		case 'limit-reached':
			return fill(words.because.limit, { name, found: text(found) });
		case 'condition-missing':
		case 'condition-not-met':
			return fill(words.because.condition, {
				name: hold.confirmed.find(({ quantity }) => quantity === id)?.name ?? id,
			});
	}
}

function seconds(value: unknown): string {
	return typeof value === 'number' ? numberText(value, { digits: 0 }) : '0';
}

/** Drawn for the gauge whose span is largest against what its band allows; its walls stand that far apart about its middle. */
function threadOf(watch: FeedWatch, hold: HoldData, judged: HoldJudgement, typeData: TypeData): Thread | null {
	const spans = hold.parameters.flatMap(({ id, spanAtMost }) => (spanAtMost === undefined ? [] : [{ id, spanAtMost }]));
	const share = ({ id, spanAtMost }: (typeof spans)[number]) =>
		(judged.parameters.find((one) => one.id === id)?.span ?? 0) / spanAtMost;
	const moving = spans.toSorted((a, b) => share(b) - share(a))[0];
	if (moving === undefined) return null;
	const recent = watch.recent(moving.id, threadS);
	const newest = recent.at(-1);
	if (newest === undefined) return null;
	const values = recent.map(({ value }) => value);
	const middle = (Math.min(...values) + Math.max(...values)) / 2;
	const band = { low: middle - moving.spanAtMost / 2, high: middle + moving.spanAtMost / 2 };
	const { name, unit, digits } = namingOf(typeData, moving.id);
	const text = (value: number) => `${numberText(value, { digits })} ${unit}`;
	return {
		label: fill(words.thread, { name, value: text(newest.value) }),
		samples: recent.map(({ timeS, value }) => ({ atS: timeS - newest.timeS, value })),
		band,
		wallWords: [text(band.high), text(band.low)],
	};
}

function rampNow(
	watch: FeedWatch,
	{ id, name, transition }: CardFieldOf<'ramp'>,
	typeData: TypeData,
): readonly JudgedNow[] {
	const rule = typeData.transitions?.find((one) => one.id === transition);
	if (rule === undefined || watch.recent(rule.signal, rampWithinS).length === 0) return [];
	const target = targetOf(rule);
	const movement = watch.movement(rule.signal, rampWithinS, { from: rule.from, to: rule.to });
	const { timed, verdict } = tracedAttempt(id, rule.signal, movement.ok ? movement.value : null, target);
	const time = (value: number) => numberText(value, { digits: 2 });
	const aim = fill(glass.aim, { low: time(target.atLeastS ?? 0), high: time(target.atMostS ?? 0) });
	const sentence =
		timed === null
			? fill(words.notRamped, { name, seconds: String(rampWithinS) })
			: fill(words.ramp, { name, time: time(timed.valueS), aim, word: words.verdict[verdict] });
	return [{ id, sentence, because: [], thread: null }];
}
