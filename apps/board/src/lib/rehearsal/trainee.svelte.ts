import {
	type Conditions,
	calmDay,
	noTrouble,
	ouzel3Ramp,
	type Panel,
	type RampTask,
	type Trouble,
} from '@stillmast/rehearsal';
import { Lags } from '$lib/feed/lags.js';
import { AttemptRun } from './attempt-run.js';
import { countKnock, Knocks } from './knocks.js';
import { type LeverWay, leverAfter, onTravel, stickPush } from './lever.js';
import type { Said, Told } from './messages.js';
import type { KeptAttempt } from './rehearsal.view.js';

/** A frame longer than this is not flown honestly: the model would have run ahead of the hand. */
const longestFrameS = 0.25;
/** The warning knocks again after this long. */
const warningEveryMs = 260;

/** One trainee's page: the lever, what the gauges say, and the attempts so far. Kept nowhere but by `onover`. */
export class Trainee {
	task: RampTask = $state.raw(ouzel3Ramp(2));
	phase: 'ready' | 'flying' | 'over' = $state('ready');
	isPaused = $state(false);
	/** 0 at "go". */
	timeS = $state(0);
	panel: Panel | null = $state.raw(null);
	isWarned = $state(false);
	attempts: readonly KeptAttempt[] = $state.raw([]);
	isSounding = $state(false);
	/** From the hand to the frame that draws its gauge: 95 in 100 within; null before the lever moved. */
	leverLagMs: number | null = $state(null);
	/** The same in frames of this screen. */
	leverLagFrames: number | null = $state(null);
	/** Newest word of an instructor that the model has taken up. */
	word = $state(0);
	/** Told of each attempt that is over. */
	onover: (kept: KeptAttempt) => void = () => undefined;
	#way: LeverWay = $state.raw({ leverPct: ouzel3Ramp(2).fromPct, ratePctPerS: 0 });
	readonly #worker: Worker;
	/** The page's own copy of the model: its gauges are drawn in the frame of the hand; the worker's are judged. */
	#run: AttemptRun | null = null;
	readonly #knocks = new Knocks();
	readonly #lags = new Lags();
	readonly #frameLags = new Lags();
	/** Frame after which the oldest movement not drawn yet was made. */
	#movedIn = 0;
	#frameCount = 0;
	#conditions: Conditions = calmDay;
	#trouble: Trouble = noTrouble;
	#asked = 0;
	#keyPush = 0;
	#movedAtMs: number | null = null;
	#lastFrameMs: number | null = null;
	#lastKnockMs = 0;
	#isStalled = false;
	#frame = 0;

	constructor() {
		this.#worker = new Worker(new URL('./rehearsal.worker.ts', import.meta.url), { type: 'module' });
		this.#worker.onmessage = (event: MessageEvent<Said>) => this.#hear(event.data);
		this.#frame = requestAnimationFrame((ms) => this.#onFrame(ms));
	}

	get leverPct(): number {
		return this.#way.leverPct;
	}

	/** Another ramp begins a row of attempts of its own: times of different ramps don't compare. */
	choose(targetS: number): void {
		if (this.phase === 'flying') return;
		this.task = ouzel3Ramp(targetS);
		this.attempts = [];
		this.phase = 'ready';
	}

	/** What holds from the next step on. @param word of whoever asks; comes back in `word` once it holds */
	make(conditions: Conditions, trouble: Trouble, word: number): void {
		this.#conditions = conditions;
		this.#trouble = trouble;
		this.#asked = word;
		this.#run?.make(conditions, trouble);
		this.#tell({ tell: 'make', conditions, trouble });
		// with nothing flying there is no step to wait for
		if (this.phase !== 'flying') this.word = word;
	}

	begin(): void {
		if (this.phase === 'flying') return;
		this.#way = { leverPct: this.task.fromPct, ratePctPerS: 0 };
		this.#keyPush = 0;
		this.#movedAtMs = null;
		this.#isStalled = false;
		this.isWarned = false;
		this.timeS = -this.task.countInS;
		this.phase = 'flying';
		this.#knocks.knock('count');
		const setting = {
			task: this.task,
			seed: this.attempts.length + 1,
			conditions: this.#conditions,
			trouble: this.#trouble,
		};
		this.#run = new AttemptRun(setting);
		this.#tell({ tell: 'begin', ...setting });
	}

	/** −1, 0 or +1: a key held down. */
	pushByKey(push: number): void {
		this.#keyPush = push;
	}

	/** @param atMs when the hand did it, on the page's clock (`event.timeStamp`) */
	moveBy(changePct: number, atMs: number): void {
		if (this.#movedAtMs === null) this.#movedIn = this.#frameCount;
		this.#movedAtMs ??= atMs;
		this.#way = { leverPct: onTravel(this.#way.leverPct + changePct), ratePctPerS: 0 };
	}

	/** From a touch. */
	sound(isOn: boolean): void {
		if (isOn) this.#knocks.turnOn();
		else this.#knocks.turnOff();
		this.isSounding = isOn;
	}

	close(): void {
		cancelAnimationFrame(this.#frame);
		this.#worker.terminate();
		this.#knocks.turnOff();
	}

	#onFrame(ms: number): void {
		const frameS = this.#lastFrameMs === null ? 0 : (ms - this.#lastFrameMs) / 1000;
		this.#lastFrameMs = ms;
		this.#frameCount += 1;
		this.#frame = requestAnimationFrame((next) => this.#onFrame(next));
		const forS = Math.min(longestFrameS, frameS);
		const push = this.#keyPush === 0 ? gamepadPush() : this.#keyPush;
		if (push !== 0 || this.#way.ratePctPerS !== 0) this.#way = leverAfter(this.#way, push, forS);
		if (this.phase !== 'flying' || this.isPaused) return;
		if (frameS > longestFrameS) this.#isStalled = true;
		const { leverPct } = this.#way;
		this.#tell({ tell: 'lever', leverPct, forS });
		this.#run?.advance(leverPct, forS);
		this.#showRun();
		if (this.#movedAtMs !== null) this.#timeDrawing(this.#movedAtMs);
		this.#movedAtMs = null;
	}

	/** What is set here is drawn by the frame that this runs in. */
	#showRun(): void {
		if (this.#run === null) return;
		const { timeS, panel, isWarned } = this.#run.attempt;
		const due = countKnock(this.timeS, timeS);
		if (due !== null) this.#knocks.knock(due);
		this.timeS = timeS;
		this.panel = panel;
		this.isWarned = isWarned;
		this.word = this.#asked;
		if (isWarned) this.#warn();
	}

	#hear({ flown }: Said): void {
		if (this.phase !== 'flying') return;
		const kept = { number: this.attempts.length + 1, flown, isStalled: this.#isStalled };
		this.attempts = [...this.attempts, kept];
		this.isWarned = false;
		this.phase = 'over';
		this.#knocks.knock('end');
		this.onover(kept);
	}

	#warn(): void {
		const nowMs = performance.now();
		if (nowMs - this.#lastKnockMs < warningEveryMs) return;
		this.#lastKnockMs = nowMs;
		this.#knocks.knock('warning');
	}

	#timeDrawing(movedAtMs: number): void {
		this.#lags.add(performance.now() - movedAtMs);
		this.leverLagMs = this.#lags.p95Ms;
		this.#frameLags.add(this.#frameCount - this.#movedIn);
		this.leverLagFrames = this.#frameLags.p95Ms;
	}

	#tell(told: Told): void {
		this.#worker.postMessage(told);
	}
}

function gamepadPush(): number {
	for (const pad of navigator.getGamepads()) {
		const push = stickPush(pad?.axes[1] ?? 0);
		if (push !== 0) return push;
	}
	return 0;
}
