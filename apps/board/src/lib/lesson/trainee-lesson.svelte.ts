import {
	type InstructorMoment,
	instructorFromFeed,
	instructorSource,
	type TraineePhase,
	traineeSource,
	traineeToFeed,
} from '$lib/feed/lesson-moment.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import type { Trainee } from '$lib/rehearsal/trainee.svelte.js';
import { attemptFrom, keepAttempt } from './attempt-entry.js';
import { planOf } from './lesson-plan.js';

/** Moments a second to the instructor, and how often the device says that it is there while nothing is flown. */
const everyMs = 50;
const restingEveryMs = 500;
const emptyPanel = { leverPct: null, torquePct: null, nrPct: null, ngPct: null, totC: null, vibrationIps: null };

/** The trainee's side of a lesson: sends what the gauges say, obeys what the instructor sets, keeps each attempt. */
export class TraineeLesson {
	/** Attempt that is talked over; 0 none. */
	talk = $state(0);
	/** What could not be kept, as a code; null. */
	trouble: string | null = $state(null);
	readonly #check: LiveCheck;
	readonly #trainee: Trainee;
	readonly #registration: string;
	readonly #stops: (() => void)[];
	#heard: InstructorMoment | null = null;
	#sentMs = 0;

	constructor(check: LiveCheck, trainee: Trainee) {
		this.#check = check;
		this.#trainee = trainee;
		this.#registration = check.state.opened?.aircraft.registration ?? '';
		trainee.choose(planOf(check.state)?.targetS ?? 2);
		trainee.onover = (kept) => {
			void keepAttempt(check.session, kept, check.nowMs()).then((done) => {
				this.trouble = done.ok ? null : done.problem.code;
			});
		};
		const timer = setInterval(() => this.#send(), everyMs);
		this.#stops = [
			() => clearInterval(timer),
			check.session.onFeed((feed) => {
				const moment = feed.source === instructorSource ? instructorFromFeed(feed) : null;
				if (moment !== null) this.#obey(moment);
			}),
		];
		void this.#recall();
	}

	get isTogether(): boolean {
		return this.#check.status.link.state === 'open';
	}

	/** What the trainee says of an attempt, before the instructor's replay. */
	async say(text: string): Promise<void> {
		const subject = saidSubject(this.talk);
		const written = await this.#check.session.write('narrative', { subject, text, replaces: [] });
		this.trouble = written.ok ? null : written.problem.code;
	}

	close(): void {
		for (const stop of this.#stops) stop();
	}

	/** Attempts of before a reload of this page. */
	async #recall(): Promise<void> {
		const { session, state } = this.#check;
		const earlier = await Promise.all(state.of.attempt.map((entry) => attemptFrom(session, entry)));
		if (this.#trainee.attempts.length > 0) return;
		this.#trainee.attempts = earlier.flatMap((kept) => (kept === null ? [] : [kept]));
	}

	#obey(moment: InstructorMoment): void {
		const before = this.#heard;
		if (before !== null && moment.word < before.word) return;
		this.#heard = moment;
		this.talk = moment.talk;
		this.#trainee.isPaused = moment.isPaused;
		if (moment.word !== before?.word) this.#trainee.make(moment.conditions, moment.trouble, moment.word);
		// the first word heard says how far the lesson is, it begins nothing
		if (before !== null && moment.go > before.go) this.#trainee.begin();
		this.#send();
	}

	#phase(): TraineePhase {
		const { phase, isPaused } = this.#trainee;
		return phase === 'flying' && isPaused ? 'paused' : phase;
	}

	#send(): void {
		const { phase, attempts, timeS, panel, isWarned, word } = this.#trainee;
		const nowMs = performance.now();
		if (phase !== 'flying' && nowMs - this.#sentMs < restingEveryMs && word === this.#saidWord) return;
		this.#sentMs = nowMs;
		this.#saidWord = word;
		this.#check.session.sendFeed({
			source: traineeSource,
			registration: this.#registration,
			timeS: nowMs / 1000,
			...traineeToFeed({
				phase: this.#phase(),
				attempt: attempts.length + (phase === 'flying' ? 1 : 0),
				timeS,
				panel: panel ?? emptyPanel,
				isWarned,
				applied: word,
				sentAtMs: Date.now(),
			}),
		});
	}

	#saidWord = -1;
}

/** Subject under which the trainee speaks of an attempt. */
export function saidSubject(attempt: number): string {
	return `lesson/said/${attempt}`;
}
