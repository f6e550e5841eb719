import { ouzel3Ramp, type Panel, type RampTask } from '@stillmast/rehearsal';
import { type LeverWay, leverAfter, onTravel, stickPush } from './lever.js';
import type { Said, Told } from './messages.js';
import type { KeptAttempt } from './rehearsal.view.js';

/** A frame longer than this is not flown honestly: the model would have run ahead of the hand. */
const longestFrameS = 0.25;

/** One trainee's page: the lever, what the gauges say, and the attempts so far. Kept nowhere. */
export class Trainee {
	task: RampTask = $state.raw(ouzel3Ramp(2));
	phase: 'ready' | 'flying' | 'over' = $state('ready');
	/** 0 at "go". */
	timeS = $state(0);
	panel: Panel | null = $state.raw(null);
	isWarned = $state(false);
	attempts: readonly KeptAttempt[] = $state.raw([]);
	#way: LeverWay = $state.raw({ leverPct: ouzel3Ramp(2).fromPct, ratePctPerS: 0 });
	readonly #worker: Worker;
	#keyPush = 0;
	#lastFrameMs: number | null = null;
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

	begin(): void {
		if (this.phase === 'flying') return;
		this.#way = { leverPct: this.task.fromPct, ratePctPerS: 0 };
		this.#keyPush = 0;
		this.#isStalled = false;
		this.isWarned = false;
		this.timeS = -this.task.countInS;
		this.phase = 'flying';
		this.#tell({ tell: 'begin', task: this.task, seed: this.attempts.length + 1 });
	}

	/** −1, 0 or +1: a key held down. */
	pushByKey(push: number): void {
		this.#keyPush = push;
	}

	moveBy(changePct: number): void {
		this.#way = { leverPct: onTravel(this.#way.leverPct + changePct), ratePctPerS: 0 };
	}

	close(): void {
		cancelAnimationFrame(this.#frame);
		this.#worker.terminate();
	}

	#onFrame(ms: number): void {
		const frameS = this.#lastFrameMs === null ? 0 : (ms - this.#lastFrameMs) / 1000;
		this.#lastFrameMs = ms;
		this.#frame = requestAnimationFrame((next) => this.#onFrame(next));
		const forS = Math.min(longestFrameS, frameS);
		const push = this.#keyPush === 0 ? gamepadPush() : this.#keyPush;
		if (push !== 0 || this.#way.ratePctPerS !== 0) this.#way = leverAfter(this.#way, push, forS);
		if (this.phase !== 'flying') return;
		if (frameS > longestFrameS) this.#isStalled = true;
		this.#tell({ tell: 'lever', leverPct: this.#way.leverPct, forS });
	}

	#hear(said: Said): void {
		if (this.phase !== 'flying') return;
		if (said.say === 'now') {
			this.timeS = said.timeS;
			this.panel = said.panel;
			this.isWarned = said.isWarned;
			return;
		}
		this.attempts = [
			...this.attempts,
			{ number: this.attempts.length + 1, flown: said.flown, isStalled: this.#isStalled },
		];
		this.isWarned = false;
		this.phase = 'over';
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
