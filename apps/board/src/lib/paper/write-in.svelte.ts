import type { CardField } from '@stillmast/formats/card';
import { flightFields } from '@stillmast/record/judge';
import { padRuleOf } from '$lib/check/ask.js';
import { flightNow } from '$lib/check/place.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import type { PadRule } from '$lib/parts/pad/pad.view.js';
import { fill } from '$lib/words/fill.js';
import { exactText, readNumber } from '$lib/words/number.js';
import { writeIn } from '$lib/words/paper.js';
import { vibrationScale } from '$lib/words/vibration.js';

/** Every value copied from a card that was filled in by hand says so. */
const fromPaper = { source: 'paper' } as const;

/** The write-in page: what was written on paper goes into the record, in the order of the card. */
export class WriteIn {
	readonly check: LiveCheck;
	trouble: string | null = $state(null);

	constructor(check: LiveCheck) {
		this.check = check;
	}

	get mayWrite(): boolean {
		return this.check.may('reading');
	}

	/** The open flight, or the number the next one gets. */
	get flight(): { readonly number: number; readonly run: number; readonly isOpen: boolean } {
		const { flight, run, isFlying } = flightNow(this.check.state);
		return isFlying ? { number: flight, run, isOpen: true } : { number: flight + 1, run: 1, isOpen: false };
	}

	async begin(): Promise<void> {
		const { number: flight } = this.flight;
		const { session } = this.check;
		await this.#tell(session.write('flight', flightFields(this.check.state, flight), fromPaper));
		await this.#tell(session.write('run', { flight, run: 1, state: 'begun', regime: null }, fromPaper));
	}

	async close(): Promise<void> {
		const { number: flight, run } = this.flight;
		const { session } = this.check;
		await this.#tell(session.write('run', { flight, run, state: 'ended', regime: null }, fromPaper));
		await this.#tell(session.write('flight', { flight, state: 'closed' }, fromPaper));
	}

	/** @param texts amplitude and phase, or the number; comma and point both count as the decimal mark */
	async keep(field: CardField, step: string, texts: readonly string[]): Promise<void> {
		const { number: flight, run } = this.flight;
		const { session } = this.check;
		if (field.kind === 'vibration') {
			const { rotor, channel } = field;
			const ask = { kind: 'vibration', rotor, channel } as const;
			const amplitude = this.#number(texts[0], padRuleOf(ask, 'amplitude'));
			const phaseDeg = (texts[1] ?? '').trim() === '' ? null : this.#number(texts[1], padRuleOf(ask, 'phase'));
			if (amplitude === undefined || phaseDeg === undefined) return;
			const amplitudeIps = amplitude / vibrationScale().perIps;
			await this.#tell(session.write('vibration', { flight, run, rotor, channel, amplitudeIps, phaseDeg }, fromPaper));
		} else if (field.kind === 'number') {
			const { id: subject, unit, resolution } = field;
			const value = this.#number(texts[0], padRuleOf({ kind: 'number', subject, unit, resolution }, 'amplitude'));
			if (value === undefined) return;
			await this.#tell(session.write('reading', { flight, run, step, subject, value, unit, resolution }, fromPaper));
		} else if (field.kind === 'done') {
			const { id: subject } = field;
			await this.#tell(session.write('reading', { flight, run, step, subject, value: true, unit: '' }, fromPaper));
		}
	}

	async stepDone(step: string): Promise<void> {
		const { number: flight } = this.flight;
		await this.#tell(this.check.session.write('step', { flight, step, state: 'done' }, fromPaper));
	}

	#number(text: string | undefined, { low, high }: PadRule): number | undefined {
		const value = readNumber(text ?? '');
		const isRight = value !== null && value >= low && value <= high;
		this.trouble = isRight ? null : fill(writeIn.bad, { low: exactText(low), high: exactText(high) });
		return isRight ? value : undefined;
	}

	async #tell(written: ReturnType<LiveCheck['session']['write']>): Promise<void> {
		const done = await written;
		this.trouble = done.ok ? null : fill(writeIn.failed, { reason: done.problem.code });
	}
}
