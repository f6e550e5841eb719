import { type Complex, fromPolar, multiply } from '../phasor/index.js';
import { fail, ok, type Result } from '../result/index.js';
import { checkSetup } from './check-setup.js';
import { type OrderTable, orderPhasors, orderTable } from './order-phasor.js';
import type { OrdersAnswer } from './orders-answer.js';
import { PulseDetector, type Samples } from './pulse-detector.js';
import { judgePulses, type MarkSpan } from './pulse-judge.js';
import { RevolutionSpread, reachOf } from './revolution-spread.js';
import { type RecordedRevolution, summarise } from './revolution-summary.js';
import type { SignalProblem, SignalSetup } from './setup.js';

/** Pulses judged together; enough for a median that a few wrong ones do not move. */
const batchPulses = 32;

/** So much of the recording is held at most; what is older can no longer become a revolution. */
const longestHeldS = 60;

/** From this much held on, a smaller batch is judged as well: a very slow rotor. */
const patienceS = 20;
const smallBatchPulses = 6;

/** A pulse may be found this long after its beginning: its width, for the centre of a pulse. */
const longestPulseS = 1;

/** Samples that cubic interpolation wants after the end of a revolution. */
const marginSamples = 3;

/**
 * Reduces a recording that arrives in pieces to order phasors. What it holds grows with the revolutions (some hundred
 * bytes each), never with the samples: of those it keeps about a hundred revolutions.
 *
 * Use: `start`, then `push` pieces of all columns of equal length, then `finish`.
 */
export class SignalReducer {
	readonly #setup: SignalSetup;
	readonly #perRev: number;
	readonly #detector: PulseDetector | null;
	readonly #column: string | null;
	readonly #delaySamples: number;
	/** Samples held, per channel, from sample number `#first` of the record. */
	readonly #held: Float64Array[];
	#first = 0;
	#count = 0;
	/** Marks in samples of the record; those before `#nextMark` are dealt with. */
	#marks: number[] = [];
	#nextMark = 0;
	#usual: number | undefined;
	#found = 0;
	#missed = 0;
	#double = 0;
	/** Number of the next mark within the record, missed ones counted. */
	#markNumber = 0;
	/** Where the revolution under way began; null while marks are missing in it. */
	#openFrom: number | null = null;
	#angles: { readonly table: OrderTable; readonly revolution: RevolutionSpread } | null = null;
	readonly #revolutions: RecordedRevolution[] = [];

	private constructor(setup: SignalSetup) {
		this.#setup = setup;
		this.#perRev = setup.pulsesPerRev ?? 1;
		const { pulse } = setup;
		this.#column = 'column' in pulse ? pulse.column : null;
		this.#detector = 'column' in pulse ? new PulseDetector(pulse) : null;
		this.#delaySamples = (pulse.delayS ?? 0) * setup.sampleRateHz;
		if ('timesS' in pulse) {
			this.#marks = pulse.timesS.map((time) => time * setup.sampleRateHz - this.#delaySamples);
			this.#found = this.#marks.length;
		}
		this.#held = setup.channels.map(() => new Float64Array(4096));
	}

	/** Problem `bad-setup`. */
	static start(setup: SignalSetup): Result<SignalReducer, SignalProblem> {
		const checked = checkSetup(setup);
		return checked.ok ? ok(new SignalReducer(setup)) : checked;
	}

	/**
	 * Takes the next piece of the recording: every channel of the setup and the pulse column, by name, equally long.
	 * Missing samples are NaN; a revolution that has one is not used. Problems `missing-column`, `uneven-columns`.
	 */
	push(piece: Readonly<Record<string, Samples>>): Result<null, SignalProblem> {
		const columns: Samples[] = [];
		for (const name of this.#setup.channels.map(({ id }) => id).concat(this.#column ?? [])) {
			const column = piece[name];
			if (!column) return fail({ code: 'missing-column', found: Object.keys(piece), needed: name, path: `$.${name}` });
			columns.push(column);
		}
		const length = columns[0]?.length ?? 0;
		const uneven = columns.findIndex((column) => column.length !== length);
		if (uneven > 0)
			return fail({ code: 'uneven-columns', found: columns[uneven]?.length ?? 0, needed: length, path: '$' });
		this.#hold(columns, length);
		const pulseColumn = columns[this.#setup.channels.length];
		if (this.#detector && pulseColumn) {
			const times: number[] = [];
			this.#detector.push(pulseColumn, times);
			for (const time of times) this.#marks.push(time - this.#delaySamples);
			this.#found += times.length;
		}
		this.#work(false);
		return ok(null);
	}

	/** Ends the recording. Problems `no-pulses`, `too-few-revolutions`, `order-too-high`. */
	finish(): Result<OrdersAnswer, SignalProblem> {
		this.#work(true);
		const pulses = { found: this.#found, missed: this.#missed, double: this.#double };
		return summarise(this.#setup, this.#revolutions, pulses);
	}

	#hold(columns: readonly Samples[], length: number): void {
		for (const [c, old] of this.#held.entries()) {
			let column = old;
			if (this.#count + length > column.length) {
				column = new Float64Array(Math.max(2 * column.length, this.#count + length));
				column.set(old.subarray(0, this.#count));
				this.#held[c] = column;
			}
			column.set(columns[c] as Samples, this.#count);
		}
		this.#count += length;
	}

	/** Deals with whole batches of marks; at the end with all. */
	#work(last: boolean): void {
		const reach = this.#first + this.#count - marginSamples;
		for (;;) {
			const ready = (last ? this.#marks.length : countUpTo(this.#marks, reach)) - this.#nextMark;
			if (ready < (last ? 2 : this.#batchSize())) break;
			const batch = this.#marks.slice(this.#nextMark, this.#nextMark + Math.min(ready, 2 * batchPulses));
			const ends = last && this.#nextMark + batch.length === this.#marks.length;
			const judged = judgePulses(batch, this.#usual, ends);
			this.#usual = judged.usual;
			this.#missed += judged.missed;
			this.#double += judged.double;
			for (const span of judged.spans) this.#takeSpan(span);
			this.#nextMark += judged.taken;
			if (judged.taken === 0) {
				// a batch of nothing but double pulses yields no span: pass it over rather than wait for ever
				this.#nextMark += batch.length - 1;
				this.#openFrom = null;
			}
			if (ends) break;
		}
		if (this.#nextMark > this.#marks.length / 2) {
			this.#marks = this.#marks.slice(this.#nextMark);
			this.#nextMark = 0;
		}
		this.#letGo();
	}

	#batchSize(): number {
		return this.#count > patienceS * this.#setup.sampleRateHz ? smallBatchPulses : batchPulses;
	}

	#takeSpan(span: MarkSpan): void {
		if (this.#openFrom === null && this.#markNumber % this.#perRev === 0) this.#openFrom = span.from;
		const revolutionBefore = Math.floor(this.#markNumber / this.#perRev);
		this.#markNumber += span.marks;
		const revolutionAfter = Math.floor(this.#markNumber / this.#perRev);
		if (span.marks > 1) {
			const lost = Math.max(1, Math.ceil(this.#markNumber / this.#perRev) - revolutionBefore);
			for (let k = 0; k < lost; k++)
				this.#revolutions.push({
					number: revolutionBefore + k,
					samples: Number.NaN,
					phasors: [],
					fault: 'missed-pulse',
				});
			this.#openFrom = null;
			return;
		}
		if (revolutionAfter === revolutionBefore) return;
		if (this.#openFrom !== null) this.#reduceRevolution(revolutionBefore, this.#openFrom, span.to);
		this.#openFrom = null;
	}

	#reduceRevolution(number: number, from: number, to: number): void {
		this.#angles ??= this.#anglesFor(to - from);
		const { table, revolution } = this.#angles;
		revolution.take(from, to);
		const phasors: Complex[] = [];
		for (const samples of this.#held) {
			orderPhasors(revolution.spread(samples, this.#count, this.#first), table).forEach((phasor, n) => {
				// an order that is no whole number goes on from one revolution to the next
				const order = table.orders[n] as number;
				phasors.push(Number.isInteger(order) ? phasor : multiply(phasor, fromPolar(1, 360 * ((order * number) % 1))));
			});
		}
		const fault = phasors.every(({ re, im }) => Number.isFinite(re) && Number.isFinite(im)) ? null : 'gap';
		this.#revolutions.push({ number, samples: to - from, phasors, fault });
	}

	#anglesFor(samples: number): { readonly table: OrderTable; readonly revolution: RevolutionSpread } {
		const { orders = [1], pointsPerRev: points = pointsFor(orders) } = this.#setup;
		const reach = reachOf(points, samples);
		return { table: orderTable(orders, points, reach), revolution: new RevolutionSpread(points, reach) };
	}

	/** Drops samples that no revolution still to come can need. */
	#letGo(): void {
		const { sampleRateHz } = this.#setup;
		const end = this.#first + this.#count;
		const nextMark =
			this.#marks[this.#nextMark] ?? end - longestPulseS * sampleRateHz - Math.max(0, this.#delaySamples);
		const needed = Math.max(
			Math.min(this.#openFrom ?? nextMark, nextMark) - marginSamples,
			end - longestHeldS * sampleRateHz,
		);
		const drop = Math.floor(needed) - this.#first;
		// moving the rest costs time, so only when at least half can go
		if (drop < this.#count / 2) return;
		for (const column of this.#held) column.copyWithin(0, drop, this.#count);
		this.#first += drop;
		this.#count -= drop;
	}
}

function countUpTo(ascending: readonly number[], reach: number): number {
	let low = 0;
	let high = ascending.length;
	while (low < high) {
		const middle = (low + high) >> 1;
		if ((ascending[middle] as number) <= reach) low = middle + 1;
		else high = middle;
	}
	return low;
}

/** A power of two, at least 512 and 32 for a turn of the fastest order, whose cosine is then cubic between them. */
function pointsFor(orders: readonly number[]): number {
	return Math.max(512, 2 ** Math.ceil(Math.log2(32 * Math.max(...orders))));
}
