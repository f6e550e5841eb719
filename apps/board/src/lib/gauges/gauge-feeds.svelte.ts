import type { Limits } from '@stillmast/core/exceedance';
import { FeedWatch } from '@stillmast/core/feed';
import type { TypeData } from '@stillmast/formats/type-data';
import { traceLimits } from '@stillmast/record/judge';
import type { Feed } from '@stillmast/record/wire';
import { placeOf } from '$lib/check/place.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import { Knocks } from '$lib/rehearsal/knocks.js';
import { type SourceNow, sourceNow } from './gauges.view.js';
import { type JudgedNow, judgedNow } from './step-judged.view.js';

/** A helicopter has a few sources; more than this are not watched. */
const sourcesMax = 8;
/** Ages, holds and movements are looked at this often; limits at every moment. */
const lookEveryMs = 250;
const warningEveryMs = 260;

/** Every source heard in this check, as it stands now, by the clock of this page. */
export class GaugeFeeds {
	sources: readonly SourceNow[] = $state.raw([]);
	/** Of the step flown now, by the newest source that has its gauges. */
	judged: readonly JudgedNow[] = $state.raw([]);
	isSounding = $state(false);
	readonly #check: LiveCheck;
	readonly #limits: Limits;
	readonly #watches = new Map<string, FeedWatch>();
	readonly #knocks = new Knocks();
	readonly #stop: () => void;
	#lastKnockMs = 0;
	#frame = 0;

	constructor(check: LiveCheck) {
		this.#check = check;
		this.#limits = traceLimits(check.typeData);
		const timer = setInterval(() => this.#look(), lookEveryMs);
		this.#stop = () => clearInterval(timer);
	}

	get typeData(): TypeData {
		return this.#check.typeData;
	}

	hear({ source, timeS, values, states }: Feed): void {
		const watch = this.#watches.get(source) ?? this.#begin(source);
		if (watch === null) return;
		watch.hear({ timeS, values, states }, nowS());
		// the warning does not wait for a frame to be drawn
		if (this.isSounding && watch.limits(nowS()).some(({ lines }) => lines.some(({ soon }) => soon))) this.#warn();
		if (this.#frame === 0) this.#frame = requestAnimationFrame(() => this.#show());
	}

	/** From a touch. */
	sound(isOn: boolean): void {
		if (isOn) this.#knocks.turnOn();
		else this.#knocks.turnOff();
		this.isSounding = isOn;
	}

	close(): void {
		this.#stop();
		cancelAnimationFrame(this.#frame);
		this.#knocks.turnOff();
	}

	#begin(source: string): FeedWatch | null {
		if (this.#watches.size >= sourcesMax) return null;
		const watch = new FeedWatch(this.#limits);
		this.#watches.set(source, watch);
		return watch;
	}

	#show(): void {
		this.#frame = 0;
		const { typeData } = this.#check;
		this.sources = [...this.#watches].map(([source, watch]) => sourceNow(source, watch, typeData, nowS()));
	}

	#look(): void {
		this.#show();
		const { state, card, typeData } = this.#check;
		const { nextStepId, flight, isFlying } = placeOf(state, card, typeData);
		const step = isFlying ? (card.steps.find(({ id }) => id === nextStepId) ?? null) : null;
		this.judged = [...this.#watches.values()].flatMap((watch) =>
			watch.pulse(nowS()) === 'live' ? judgedNow(watch, step, { state, typeData }, flight) : [],
		);
	}

	#warn(): void {
		const nowMs = performance.now();
		if (nowMs - this.#lastKnockMs < warningEveryMs) return;
		this.#lastKnockMs = nowMs;
		this.#knocks.knock('warning');
	}
}

function nowS(): number {
	return performance.now() / 1000;
}
