import type { CardStep } from '@stillmast/formats/card';
import { flightFields } from '@stillmast/record/judge';
import {
	type Answer,
	answerMessage,
	beginFlight,
	type Done,
	endFlight,
	finishStep,
	mark,
	writeHold,
	writeReading,
	writeVibration,
} from '$lib/check/actions.js';
import { type Place, placeOf } from '$lib/check/place.view.js';
import { calledAttempt, type SeenExtreme } from '$lib/check/ramp-face.view.js';
import { type StepFace, stepFace, type WritableField } from '$lib/check/step-face.view.js';
import type { TimedPart } from '$lib/check/timed-parts.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import { declareLicence } from '$lib/prepare/licence.js';
import { type Message, messagesFor } from '$lib/talk/messages.view.js';
import { glass } from '$lib/words/glass.js';
import { vibrationScale } from '$lib/words/vibration.js';
import { RampCall } from './ramp-call.svelte.js';
import { SteadyClock } from './steady-clock.svelte.js';

/** A movement that was timed and is not written yet: what was seen on the way may still be added. */
export interface FlownRamp {
	readonly calledS: number;
	readonly seen: ReadonlyMap<SeenExtreme, number>;
}

/** What the glass asks for: the step itself, the card, what somebody said, which number, its amplitude, its phase, or what was seen in a movement. */
export type Face =
	| { readonly face: 'step' }
	| { readonly face: 'card' }
	| { readonly face: 'message'; readonly message: Message }
	| { readonly face: 'quiet' }
	| { readonly face: 'choose' }
	| { readonly face: 'number'; readonly field: WritableField }
	| { readonly face: 'phase'; readonly field: WritableField; readonly amplitudeIps: number }
	| { readonly face: 'ramp' }
	| { readonly face: 'flown'; readonly flown: FlownRamp }
	| { readonly face: 'seen'; readonly flown: FlownRamp; readonly one: SeenExtreme };

/** The cockpit of one page: which step is on the glass, and what a tap writes. */
export class Cockpit {
	readonly check: LiveCheck;
	readonly clock: SteadyClock;
	readonly call: RampCall;
	face: Face = $state.raw({ face: 'step' });
	/** Chosen by hand; null follows the card. */
	#chosenStep: string | null = $state(null);
	trouble: string | null = $state(null);
	/** UTC time of the newest mark on this page, shown for as long as the step is. */
	markedAt: string | null = $state(null);

	constructor(check: LiveCheck) {
		this.check = check;
		this.call = new RampCall(check.nowMs);
		this.clock = new SteadyClock(check.nowMs, ({ id, ...held }) => {
			void this.#run(writeHold(check.session, this.#at, { field: id, ...held }));
		});
	}

	/** This pen writes into the card; others read along. */
	get mayWrite(): boolean {
		return this.check.may('step');
	}

	get place(): Place {
		return placeOf(this.check.state, this.check.card, this.check.typeData);
	}

	get stepId(): string {
		const { nextStepId } = this.place;
		return this.#chosenStep ?? nextStepId ?? this.flownSteps.at(-1)?.id ?? '';
	}

	/** Steps of this flight: of the whole card, or of the short card it was begun with. */
	get flownSteps(): readonly CardStep[] {
		return this.place.steps.flatMap(({ step, isFlown }) => (isFlown ? [step] : []));
	}

	get stepFace(): StepFace | null {
		const { flight, run } = this.place;
		const { state, card, typeData } = this.check;
		return stepFace({ state, card, typeData, flight, run }, this.stepId);
	}

	/** Every step is done or left: the flight can be closed. */
	get isAtEnd(): boolean {
		return this.place.nextStepId === null;
	}

	/** What others said and this pen has not answered: shown at the end of a step, never in it. */
	get messages(): Message[] {
		const { state, card, typeData, pen } = this.check;
		if (!this.mayWrite || !this.check.may('reply')) return [];
		return messagesFor(state, pen.key.fingerprint, { card, typeData });
	}

	/** What is held now, else what is to be held next. */
	get timedNow(): TimedPart | null {
		const timed = this.stepFace?.timed ?? [];
		const running = timed.find(({ id }) => id === this.clock.runningId);
		return running ?? timed.find(({ isHeld }) => !isHeld) ?? null;
	}

	choose(stepId: string): void {
		this.#leave();
		this.#chosenStep = stepId;
		this.face = { face: 'step' };
	}

	/** Goes to the next number that is missing: of the part that was held last, else of the step; else asks which. */
	write(): void {
		const { writable = [], timed = [] } = this.stepFace ?? {};
		const only = writable.length === 1 ? writable[0] : undefined;
		const heldParts = timed.filter(({ isHeld, id }) => isHeld || id === this.clock.runningId).map(({ part }) => part);
		const inOrder = timed.length > 0 || writable.some(({ part }) => part !== null);
		const missing = inOrder
			? writable.find(({ written, part }) => written === null && (timed.length === 0 || heldParts.includes(part)))
			: undefined;
		const next = only ?? missing;
		this.face = next === undefined ? { face: 'choose' } : { face: 'number', field: next };
	}

	pick(fieldId: string): void {
		const field = this.stepFace?.writable.find(({ id }) => id === fieldId);
		if (field !== undefined) this.face = { face: 'number', field };
	}

	openCard(): void {
		this.face = { face: 'card' };
	}

	/** Only Mark stays on the glass. */
	quiet(): void {
		this.face = { face: 'quiet' };
	}

	/** One message at a time; it stays until it is answered or left, whatever comes meanwhile. */
	readMessages(): void {
		this.#showMessage(this.messages);
	}

	/** Answers what is on the glass and shows the next. */
	answer(answer: Answer): void {
		if (this.face.face !== 'message') return;
		const { hash } = this.face.message;
		void this.#run(answerMessage(this.check.session, hash, answer));
		this.#showMessage(this.messages.filter((message) => message.hash !== hash));
	}

	backToStep(): void {
		if (this.face.face === 'flown') void this.keepFlown();
		this.call.close();
		this.face = { face: 'step' };
	}

	keep(value: number): void {
		const face = this.face;
		if (face.face === 'number' && face.field.ask.kind === 'vibration') {
			this.face = { face: 'phase', field: face.field, amplitudeIps: value / vibrationScale().perIps };
		} else if (face.face === 'number' && face.field.ask.kind === 'number') {
			const { subject, unit, resolution } = face.field.ask;
			void this.#run(writeReading(this.check.session, this.#at, { subject, value, unit, resolution }));
			this.#toNextNumber(face.field);
		} else if (face.face === 'phase') {
			this.keepVibration(value);
		} else if (face.face === 'seen') {
			this.#toNextSeen({ ...face.flown, seen: new Map([...face.flown.seen, [face.one, value]]) });
		}
	}

	/** Ends the writing of a vibration reading; `null` where the phase is not known. */
	keepVibration(phaseDeg: number | null): void {
		const face = this.face;
		if (face.face !== 'phase' || face.field.ask.kind !== 'vibration') return;
		const { rotor, channel } = face.field.ask;
		const reading = { rotor, channel, amplitudeIps: face.amplitudeIps, phaseDeg };
		void this.#run(writeVibration(this.check.session, this.#at, reading));
		this.#toNextNumber(face.field);
	}

	tick(subject: string): void {
		void this.#run(writeReading(this.check.session, this.#at, { subject, value: true, unit: '' }));
	}

	/** The crew calls the movement: three, two, one, go. */
	beginRamp(): void {
		this.face = { face: 'ramp' };
		this.call.begin();
	}

	endRamp(): void {
		const calledS = this.call.end();
		this.face = calledS === null ? { face: 'step' } : { face: 'flown', flown: { calledS, seen: new Map() } };
	}

	writeSeen(): void {
		if (this.face.face === 'flown') this.#toNextSeen(this.face.flown);
	}

	async keepFlown(): Promise<void> {
		const ramp = this.stepFace?.ramp ?? null;
		const face = this.face;
		if (ramp === null || (face.face !== 'flown' && face.face !== 'seen')) return;
		const { flight, step } = this.#at;
		const attempt = calledAttempt(ramp, { flight, step }, face.flown.calledS, face.flown.seen);
		this.face = { face: 'step' };
		const written = await this.check.session.write('attempt', attempt);
		this.trouble = written.ok ? null : written.problem.code;
	}

	markMoment(text?: string): void {
		void this.#run(mark(this.check.session, this.#at, text));
		this.markedAt = `${new Date(this.check.nowMs()).toISOString().slice(11, 19)}Z`;
	}

	async next(state: 'done' | 'later'): Promise<void> {
		this.#leave();
		const steps = this.flownSteps;
		const index = steps.findIndex(({ id }) => id === this.stepId);
		const after = steps[index + 1]?.id ?? null;
		const reason = state === 'later' ? glass.leftReason : undefined;
		await this.#run(finishStep(this.check.session, this.#at, state, reason));
		this.#chosenStep = after;
		this.readMessages();
	}

	/** @param steps of a short card; the whole card without */
	async begin(steps?: readonly CardStep[]): Promise<void> {
		const { session, state } = this.check;
		const opening = flightFields(state, this.place.flight + 1);
		const ids = steps?.map(({ id }) => id);
		await this.#run(beginFlight(session, opening, ids));
		await this.#run(declareLicence(this.check));
		this.#chosenStep = this.flownSteps[0]?.id ?? null;
	}

	async end(): Promise<void> {
		this.#leave();
		const { flight, run } = this.place;
		await this.#run(endFlight(this.check.session, flight, run));
		this.#chosenStep = null;
	}

	close(): void {
		this.clock.close();
		this.call.close();
	}

	get #at() {
		const { flight, run } = this.place;
		return { flight, run, step: this.stepId };
	}

	/** A step is left: what is being held or timed in it ends, and nothing that was timed is lost. */
	#leave(): void {
		this.clock.stop();
		this.call.close();
		void this.keepFlown();
		this.markedAt = null;
	}

	#showMessage(waiting: readonly Message[]): void {
		const [message] = waiting;
		this.face = message === undefined ? { face: 'step' } : { face: 'message', message };
	}

	#toNextSeen(flown: FlownRamp): void {
		const one = this.stepFace?.ramp?.seen.find(
			({ label }) => ![...flown.seen.keys()].some((known) => known.label === label),
		);
		this.face = one === undefined ? { face: 'flown', flown } : { face: 'seen', flown, one };
	}

	/** The next number of the same part, else back to the step. */
	#toNextNumber(written: WritableField): void {
		const fields = this.stepFace?.writable ?? [];
		const index = fields.findIndex(({ id }) => id === written.id);
		const next = fields[index + 1];
		const goesOn = next !== undefined && next.written === null && next.part === written.part;
		this.face = goesOn ? { face: 'number', field: next } : { face: 'step' };
	}

	async #run(action: Promise<Done>): Promise<void> {
		const done = await action;
		this.trouble = done.ok ? null : done.problem.code;
	}
}
