import type { EntryOf } from '@stillmast/formats/entry';
import { type Conditions, type GaugeName, gaugeNames, type Trouble } from '@stillmast/rehearsal';
import { Lags } from '$lib/feed/lags.js';
import {
	type InstructorMoment,
	instructorSource,
	instructorToFeed,
	nothingAsked,
	type TraineeMoment,
	traineeFromFeed,
	traineeSource,
} from '$lib/feed/lesson-moment.js';
import type { StripSample } from '$lib/feed/strip.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import type { KeptAttempt } from '$lib/rehearsal/rehearsal.view.js';
import { attemptFrom } from './attempt-entry.js';
import { saidSubject } from './trainee-lesson.svelte.js';

/** The instructor's word goes out at once, and again this often for a device that was away. */
const againEveryMs = 1000;
const stalledAfterMs = 1000;
/** Samples kept for a strip: a whole attempt at 20 a second, and some. */
const samplesMax = 600;

type Strips = Readonly<Record<GaugeName, readonly StripSample[]>>;
const noStrips: Strips = { leverPct: [], torquePct: [], nrPct: [], ngPct: [], totC: [], vibrationIps: [] };

/** The instructor's side of a lesson: what the trainee's device says, and what is set for it. */
export class Instructor {
	trainee: TraineeMoment | null = $state.raw(null);
	strips: Strips = $state.raw(noStrips);
	asked: InstructorMoment = $state.raw(nothingAsked);
	attempts: readonly KeptAttempt[] = $state.raw([]);
	/** Since the newest moment came. */
	ageMs: number | null = $state(null);
	/** From the trainee's device to the frame that draws it here: 95 in 100 within. Right where both clocks are one. */
	lagP95Ms: number | null = $state(null);
	/** From a press here until the model's answer to it came back; null while it is on its way or nothing was asked. */
	feltMs: number | null = $state(null);
	replay: { readonly number: number; readonly atS: number } | null = $state.raw(null);
	readonly #check: LiveCheck;
	readonly #registration: string;
	readonly #lags = new Lags();
	readonly #read = new Map<string, KeptAttempt>();
	readonly #stops: (() => void)[];
	#heardMs: number | null = null;
	#askedMs: number | null = null;
	#frame = 0;

	constructor(check: LiveCheck) {
		this.#check = check;
		this.#registration = check.state.opened?.aircraft.registration ?? '';
		this.asked = { ...nothingAsked, word: Date.now() };
		const again = setInterval(() => this.#send(), againEveryMs);
		const age = setInterval(() => {
			this.ageMs = this.#heardMs === null ? null : performance.now() - this.#heardMs;
		}, 250);
		this.#stops = [
			() => clearInterval(again),
			() => clearInterval(age),
			() => cancelAnimationFrame(this.#frame),
			check.session.onFeed((feed) => {
				const moment = feed.source === traineeSource ? traineeFromFeed(feed) : null;
				if (moment !== null) this.#hear(moment);
			}),
			check.session.subscribe(() => void this.#readAttempts()),
		];
		void this.#readAttempts();
		this.#send();
	}

	get isStalled(): boolean {
		return this.ageMs !== null && this.ageMs > stalledAfterMs;
	}

	/** All that was set holds at the trainee's device. */
	get isHeard(): boolean {
		return this.trainee !== null && this.trainee.applied >= this.asked.word;
	}

	get isFlying(): boolean {
		return this.trainee?.phase === 'flying' || this.trainee?.phase === 'paused';
	}

	/** What the trainee said of an attempt; null before. */
	saidOf(attempt: number): string | null {
		return this.#check.state.narratives.get(saidSubject(attempt))?.at(-1)?.text ?? null;
	}

	set(conditions: Conditions, trouble: Trouble): void {
		this.#ask({ conditions, trouble });
	}

	pause(isPaused: boolean): void {
		this.#ask({ isPaused });
	}

	again(): void {
		this.#ask({ go: this.asked.go + 1, talk: 0, isPaused: false });
	}

	talkOver(attempt: number): void {
		this.#ask({ talk: attempt });
	}

	/** Plays an attempt from the record at its own speed. */
	play(kept: KeptAttempt): void {
		const beganMs = performance.now();
		const { timeS } = kept.flown.trace;
		const [firstS = 0, lastS = 0] = [timeS[0], timeS.at(-1)];
		const step = () => {
			const atS = firstS + (performance.now() - beganMs) / 1000;
			this.replay = { number: kept.number, atS: Math.min(atS, lastS) };
			if (atS < lastS) this.#frame = requestAnimationFrame(step);
		};
		cancelAnimationFrame(this.#frame);
		step();
	}

	endReplay(): void {
		cancelAnimationFrame(this.#frame);
		this.replay = null;
	}

	close(): void {
		for (const stop of this.#stops) stop();
	}

	#ask(change: Partial<InstructorMoment>): void {
		this.asked = { ...this.asked, ...change, word: Math.max(this.asked.word + 1, Date.now()) };
		this.#askedMs = performance.now();
		this.feltMs = null;
		this.#send();
	}

	#send(): void {
		this.#check.session.sendFeed({
			source: instructorSource,
			registration: this.#registration,
			timeS: performance.now() / 1000,
			...instructorToFeed(this.asked),
		});
	}

	#hear(moment: TraineeMoment): void {
		const before = this.trainee;
		this.#heardMs = performance.now();
		this.ageMs = 0;
		this.trainee = moment;
		if (this.#askedMs !== null && moment.applied >= this.asked.word) {
			this.feltMs = performance.now() - this.#askedMs;
			this.#askedMs = null;
		}
		if (moment.phase === 'flying') {
			const isNew = before?.attempt !== moment.attempt || moment.timeS < before.timeS;
			this.strips = extended(isNew ? noStrips : this.strips, moment);
		}
		requestAnimationFrame(() => {
			this.#lags.add(Date.now() - moment.sentAtMs);
			this.lagP95Ms = this.#lags.p95Ms;
		});
	}

	/** Attempts come as entries, whole, whatever became of the live moments. */
	async #readAttempts(): Promise<void> {
		const { session } = this.#check;
		const entries: readonly EntryOf<'attempt'>[] = this.#check.session.state.of.attempt;
		const unread = entries.filter(({ hash }) => !this.#read.has(hash));
		for (const entry of unread) {
			const kept = await attemptFrom(session, entry);
			if (kept !== null) this.#read.set(entry.hash, kept);
		}
		const kept = entries.flatMap(({ hash }) => this.#read.get(hash) ?? []);
		if (kept.length !== this.attempts.length) this.attempts = kept.toSorted((a, b) => a.number - b.number);
	}
}

function extended(strips: Strips, { timeS, panel }: TraineeMoment): Strips {
	const longer = (name: GaugeName): readonly StripSample[] => {
		const value = panel[name];
		return value === null ? strips[name] : [...strips[name], { atS: timeS, value }].slice(-samplesMax);
	};
	const [leverPct = [], torquePct = [], nrPct = [], ngPct = [], totC = [], vibrationIps = []] = gaugeNames.map(longer);
	return { leverPct, torquePct, nrPct, ngPct, totC, vibrationIps };
}

/** Strips of an attempt from the record, up to a time of it. */
export function stripsOf({ flown }: KeptAttempt, toS: number): Strips {
	const { trace } = flown;
	const column = (name: GaugeName): readonly StripSample[] =>
		trace.timeS.flatMap((atS, at) => {
			const value = trace.channels[name][at] ?? null;
			return value === null || atS > toS ? [] : [{ atS, value }];
		});
	const [leverPct = [], torquePct = [], nrPct = [], ngPct = [], totC = [], vibrationIps = []] = gaugeNames.map(column);
	return { leverPct, torquePct, nrPct, ngPct, totC, vibrationIps };
}
