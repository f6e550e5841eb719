import {
	beginFlight,
	type Done,
	endFlight,
	finishStep,
	mark,
	writeReading,
	writeVibration,
} from '$lib/check/actions.js';
import { type Place, placeOf } from '$lib/check/place.view.js';
import { type StepFace, stepFace, type WritableField } from '$lib/check/step-face.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import type { DecimalMark } from '$lib/words/number.js';

/** What the glass asks for: the step itself, which number, its amplitude, or its phase. */
export type Face =
	| { readonly face: 'step' }
	| { readonly face: 'card' }
	| { readonly face: 'quiet' }
	| { readonly face: 'choose' }
	| { readonly face: 'number'; readonly field: WritableField }
	| { readonly face: 'phase'; readonly field: WritableField; readonly amplitudeIps: number };

/** The cockpit of one page: which step is on the glass, and what a tap writes. */
export class Cockpit {
	readonly check: LiveCheck;
	readonly mark: DecimalMark;
	face: Face = $state.raw({ face: 'step' });
	/** Chosen by hand; null follows the card. */
	#chosenStep: string | null = $state(null);
	trouble: string | null = $state(null);
	/** UTC time of the newest mark on this page, shown for as long as the step is. */
	markedAt: string | null = $state(null);

	constructor(check: LiveCheck, mark: DecimalMark) {
		this.check = check;
		this.mark = mark;
	}

	/** This pen writes into the card; others read along. */
	get mayWrite(): boolean {
		return this.check.may('step');
	}

	get place(): Place {
		return placeOf(this.check.state, this.check.card);
	}

	get stepId(): string {
		const { steps } = this.check.card;
		return this.#chosenStep ?? this.place.nextStepId ?? steps.at(-1)?.id ?? '';
	}

	get stepFace(): StepFace | null {
		const { flight, run } = this.place;
		const { state, card, typeData } = this.check;
		return stepFace({ state, card, typeData, flight, run, mark: this.mark }, this.stepId);
	}

	/** Every step is done or left: the flight can be closed. */
	get isAtEnd(): boolean {
		return this.place.nextStepId === null;
	}

	choose(stepId: string): void {
		this.#chosenStep = stepId;
		this.face = { face: 'step' };
		this.markedAt = null;
	}

	/** Goes straight to the only number of a step, else asks which. */
	write(): void {
		const writable = this.stepFace?.writable ?? [];
		const only = writable.length === 1 ? writable[0] : undefined;
		this.face = only === undefined ? { face: 'choose' } : { face: 'number', field: only };
	}

	pick(fieldId: string): void {
		const field = this.stepFace?.writable.find((one) => one.field.id === fieldId);
		if (field !== undefined) this.face = { face: 'number', field };
	}

	openCard(): void {
		this.face = { face: 'card' };
	}

	/** Only Mark stays on the glass. */
	quiet(): void {
		this.face = { face: 'quiet' };
	}

	backToStep(): void {
		this.face = { face: 'step' };
	}

	keep(value: number): void {
		const face = this.face;
		if (face.face === 'number' && face.field.field.kind === 'vibration') {
			this.face = { face: 'phase', field: face.field, amplitudeIps: value };
		} else if (face.face === 'number') {
			const { field } = face.field;
			if (field.kind !== 'number') return;
			const { id: subject, unit, resolution } = field;
			void this.#run(writeReading(this.check.session, this.#at, { subject, value, unit, resolution }));
			this.backToStep();
		} else if (face.face === 'phase') {
			this.keepVibration(value);
		}
	}

	/** Ends the writing of a vibration reading; `null` where the phase is not known. */
	keepVibration(phaseDeg: number | null): void {
		const face = this.face;
		if (face.face !== 'phase' || face.field.field.kind !== 'vibration') return;
		const { rotor, channel } = face.field.field;
		const reading = { rotor, channel, amplitudeIps: face.amplitudeIps, phaseDeg };
		void this.#run(writeVibration(this.check.session, this.#at, reading));
		this.#toNextNumber(face.field);
	}

	tick(subject: string): void {
		void this.#run(writeReading(this.check.session, this.#at, { subject, value: true, unit: '' }));
	}

	markMoment(text?: string): void {
		void this.#run(mark(this.check.session, this.#at, text));
		this.markedAt = `${new Date(this.check.nowMs()).toISOString().slice(11, 19)}Z`;
	}

	async next(state: 'done' | 'later'): Promise<void> {
		const { steps } = this.check.card;
		const index = steps.findIndex(({ id }) => id === this.stepId);
		const after = steps[index + 1]?.id ?? null;
		await this.#run(finishStep(this.check.session, this.#at, state, state === 'later' ? 'left for later' : undefined));
		this.#chosenStep = after;
		this.face = { face: 'step' };
		this.markedAt = null;
	}

	async begin(): Promise<void> {
		await this.#run(beginFlight(this.check.session, this.place.flight + 1));
		this.#chosenStep = this.check.card.steps[0]?.id ?? null;
	}

	async end(): Promise<void> {
		const { flight, run } = this.place;
		await this.#run(endFlight(this.check.session, flight, run));
		this.#chosenStep = null;
	}

	get #at() {
		const { flight, run } = this.place;
		return { flight, run, step: this.stepId };
	}

	#toNextNumber(written: WritableField): void {
		const fields = this.stepFace?.writable ?? [];
		const index = fields.findIndex((one) => one.field.id === written.field.id);
		const next = fields[index + 1];
		this.face = next === undefined || next.written !== null ? { face: 'step' } : { face: 'number', field: next };
	}

	async #run(action: Promise<Done>): Promise<void> {
		const done = await action;
		this.trouble = done.ok ? null : done.problem.code;
	}
}
