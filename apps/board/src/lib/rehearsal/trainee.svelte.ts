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
	readonly #knocks = new Knocks();
	readonly #lags = new Lags();
	readonly #frameLags = new Lags();
	/** Frame in which a movement was made, by its time, until its gauge is drawn. */
	readonly #movedIn = new Map<number, number>();
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
		this.#tell({ tell: 'make', conditions, trouble, word });
		// with nothing flying there is no step to wait for
		if (this.phase !== 'flying') this.word = word;
	}

	begin(): void {
		if (this.phase === 'flying') return;
		this.#way = { leverPct: this.task.fromPct, ratePctPerS: 0 };
		this.#keyPush = 0;
		this.#movedIn.clear();
		this.#movedAtMs = null;
		this.#isStalled = false;
		this.isWarned = false;
		this.timeS = -this.task.countInS;
		this.phase = 'flying';
		this.#knocks.knock('count');
		this.#tell({
			tell: 'begin',
			task: this.task,
			seed: this.attempts.length + 1,
			conditions: this.#conditions,
			trouble: this.#trouble,
			word: this.#asked,
		});
	}

	/** −1, 0 or +1: a key held down. */
	pushByKey(push: number): void {
		this.#keyPush = push;
	}

	/** @param atMs when the hand did it, on the page's clock (`event.timeStamp`) */
	moveBy(changePct: number, atMs: number): void {
		if (this.#movedAtMs === null) this.#movedIn.set(atMs, this.#frameCount);
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
		this.#tell({ tell: 'lever', leverPct: this.#way.leverPct, forS, movedAtMs: this.#movedAtMs });
		this.#movedAtMs = null;
	}

	#hear(said: Said): void {
		if (this.phase !== 'flying') return;
		if (said.say === 'now') {
			const due = countKnock(this.timeS, said.timeS);
			if (due !== null) this.#knocks.knock(due);
			this.timeS = said.timeS;
			this.panel = said.panel;
			this.isWarned = said.isWarned;
			this.word = said.word;
			if (said.isWarned) this.#warn();
			if (said.movedAtMs !== null) this.#timeDrawing(said.movedAtMs);
			return;
		}
		const kept = { number: this.attempts.length + 1, flown: said.flown, isStalled: this.#isStalled };
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

	/** The gauge set just now is drawn by the next frame. */
	#timeDrawing(movedAtMs: number): void {
		requestAnimationFrame((frameMs) => {
			this.#lags.add(frameMs - movedAtMs);
			this.leverLagMs = this.#lags.p95Ms;
			const madeIn = this.#movedIn.get(movedAtMs);
			this.#movedIn.delete(movedAtMs);
			if (madeIn === undefined) return;
			this.#frameLags.add(this.#frameCount - madeIn);
			this.leverLagFrames = this.#frameLags.p95Ms;
		});
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
