import type { Conditions } from '../conditions.js';
import { Gauge, type GaugeSample } from '../gauges/gauge.js';
import { type HelicopterState, settledAt, stepHelicopter, stepS } from '../helicopter.js';
import { type Draw, seededDraw } from '../random.js';
import type { SimulatedType } from '../type.js';
import { LookAhead } from './look-ahead.js';
import { type GaugeName, gaugeNames, ouzel3Gauges, type RampTask } from './task.js';
import { noTrouble, type Trouble, vibrationIps } from './trouble.js';

export interface AttemptSetting {
	readonly type: SimulatedType;
	readonly conditions: Conditions;
	readonly task: RampTask;
	readonly draw: Draw;
}

/** What the gauges said: one row of times, a column for each gauge; null where a sample was lost. */
export interface FlownTrace {
	/** 0 at "go", negative during the count-in. */
	readonly timeS: readonly number[];
	readonly channels: Readonly<Record<GaugeName, readonly (number | null)[]>>;
}

/** Newest sample of each gauge; null before its first. */
export type Panel = Readonly<Record<GaugeName, number | null>>;

/**
 * One attempt at a timed power change: lever in, gauges out. Holds the model; knows no clock, the caller steps it.
 */
export class RampAttempt {
	readonly task: RampTask;
	/** May be changed at any step: the instructor makes it harder. */
	conditions: Conditions;
	readonly #type: SimulatedType;
	readonly #gauges: Readonly<Record<GaugeName, Gauge>>;
	readonly #ahead: LookAhead;
	readonly #timeS: number[] = [];
	readonly #columns: Record<GaugeName, (number | null)[]> = {
		leverPct: [],
		torquePct: [],
		nrPct: [],
		ngPct: [],
		totC: [],
		vibrationIps: [],
	};
	#trouble: Trouble = noTrouble;
	#state: HelicopterState;
	#panel: Panel = {
		leverPct: null,
		torquePct: null,
		nrPct: null,
		ngPct: null,
		totC: null,
		vibrationIps: null,
	};
	#steps = 0;

	/** Begins settled at the lever's start, with the count-in before it. */
	constructor({ type, conditions, task, draw }: AttemptSetting) {
		this.task = task;
		this.conditions = conditions;
		this.#type = type;
		// a row of numbers for each gauge, so that one gauge's lost samples don't shift another's scatter
		const row = () => Math.floor(draw() * 2 ** 31);
		const gauge = (name: GaugeName, seed = row()) => new Gauge(ouzel3Gauges[name], seededDraw(seed));
		const leverSeed = row();
		this.#gauges = {
			leverPct: gauge('leverPct', leverSeed),
			torquePct: gauge('torquePct'),
			nrPct: gauge('nrPct'),
			ngPct: gauge('ngPct'),
			totC: gauge('totC'),
			// from the lever's, so that everything drawn after the gauges is as it was before this one
			vibrationIps: gauge('vibrationIps', leverSeed ^ 0x2545f491),
		};
		this.#ahead = new LookAhead(task.limits.torquePct, task.lookAheadS);
		this.#state = settledAt(type, task.fromPct, conditions);
	}

	/** 0 at "go". */
	get timeS(): number {
		return this.#steps * stepS - this.task.countInS;
	}

	get isOver(): boolean {
		return this.timeS >= this.task.afterGoS;
	}

	/** Torque will pass its line soon at its present rate. */
	get isWarned(): boolean {
		return this.#ahead.isWarned && !this.#trouble.isWarningSilent;
	}

	get trouble(): Trouble {
		return this.#trouble;
	}

	/** Lets something go wrong, or no longer, from the next step on. */
	set trouble(trouble: Trouble) {
		const { frozenGauge } = this.#trouble;
		this.#trouble = trouble;
		if (trouble.frozenGauge === frozenGauge) return;
		if (frozenGauge !== null) this.#gauges[frozenGauge].thaw();
		if (trouble.frozenGauge !== null) this.#gauges[trouble.frozenGauge].freeze();
	}

	get panel(): Panel {
		return this.#panel;
	}

	/** One fixed step with the lever here; a position off its travel counts as the stop it lies beyond. */
	step(leverPct: number): void {
		if (this.isOver) return;
		const lever = Math.min(100, Math.max(0, leverPct));
		this.#state = stepHelicopter(this.#type, this.#state, lever, this.conditions);
		this.#steps += 1;
		this.#feel();
	}

	trace(): FlownTrace {
		return {
			timeS: [...this.#timeS],
			channels: {
				leverPct: [...this.#columns.leverPct],
				torquePct: [...this.#columns.torquePct],
				nrPct: [...this.#columns.nrPct],
				ngPct: [...this.#columns.ngPct],
				totC: [...this.#columns.totC],
				vibrationIps: [...this.#columns.vibrationIps],
			},
		};
	}

	#feel(): void {
		const { collectivePct, torquePct, nrPct, engine } = this.#state;
		const truth: Readonly<Record<GaugeName, number>> = {
			leverPct: collectivePct,
			torquePct,
			nrPct,
			ngPct: engine.ngPct,
			totC: engine.totC,
			vibrationIps: vibrationIps(torquePct, nrPct, this.#trouble),
		};
		const clockS = this.#steps * stepS;
		const samples = gaugeNames.map((name): readonly [GaugeName, GaugeSample | null] => [
			name,
			this.#gauges[name].feel(clockS, truth[name], stepS),
		]);
		if (samples.every(([, sample]) => sample === null)) return;
		this.#timeS.push(this.timeS);
		const heard = samples.flatMap(([name, sample]) => (sample === null ? [] : [[name, sample.value] as const]));
		this.#panel = { ...this.#panel, ...Object.fromEntries(heard) };
		for (const [name, sample] of samples) this.#columns[name].push(sample?.value ?? null);
		if (this.#panel.torquePct !== null) this.#ahead.hear(this.timeS, this.#panel.torquePct);
	}
}
