import type { Problem, Result } from '@stillmast/core/result';
import type { FieldsOf } from '@stillmast/formats/entry';
import type { LimitCase } from '@stillmast/record/judge';
import { limitCases } from '@stillmast/record/judge';
import { type CaseView, caseView } from '$lib/check/limits-passed.view.js';
import { type MarkLine, markLines } from '$lib/check/marks.view.js';
import { flightNow } from '$lib/check/place.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import { fill } from '$lib/words/fill.js';
import { limitsPassed as words } from '$lib/words/limits-passed.js';

/** What somebody begins to write down before any evidence of it is in the record. */
export interface Draft {
	readonly parameter: string;
	readonly flight: number;
	readonly step: string;
	/** The mark it explains. */
	readonly mark: string | null;
}

/** The desk on which limits passed are written down and decided: which one lies open, and what is being begun. */
export class LimitsDesk {
	readonly check: LiveCheck;
	#chosen: string | null = $state(null);
	draft: Draft | null = $state.raw(null);
	trouble: string | null = $state(null);

	constructor(check: LiveCheck) {
		this.check = check;
	}

	get cases(): readonly LimitCase[] {
		const { state, card, typeData } = this.check;
		return limitCases(state, card, typeData);
	}

	get views(): readonly { readonly one: LimitCase; readonly view: CaseView }[] {
		const { state, pen } = this.check;
		const isWitness = this.check.may('witness');
		return this.cases.map((one) => ({ one, view: caseView(one, state, pen.key.fingerprint, isWitness) }));
	}

	get open(): { readonly one: LimitCase; readonly view: CaseView } | null {
		if (this.draft !== null) return null;
		const all = this.views;
		return (
			all.find(({ view }) => view.id === this.#chosen) ?? all.find(({ view }) => !view.isSettled) ?? all[0] ?? null
		);
	}

	get marks(): readonly MarkLine[] {
		return markLines(this.check.state, this.check.card);
	}

	get parameters(): readonly string[] {
		return [...new Set(this.check.typeData.limits.map(({ parameter }) => parameter))];
	}

	get flights(): readonly number[] {
		return this.check.state.flights.map(({ flight }) => flight);
	}

	choose(id: string): void {
		this.#chosen = id;
		this.draft = null;
		this.trouble = null;
	}

	begin(mark: MarkLine | null): void {
		const newest = flightNow(this.check.state).flight;
		this.trouble = null;
		this.draft = {
			parameter: this.parameters[0] ?? '',
			flight: mark?.flight ?? newest,
			step: mark?.step ?? '',
			mark: mark?.hash ?? null,
		};
	}

	about(change: Partial<Draft>): void {
		if (this.draft !== null) this.draft = { ...this.draft, ...change };
	}

	leave(): void {
		this.draft = null;
		this.trouble = null;
	}

	async explain(mark: string, text: string): Promise<void> {
		await this.#run(this.check.session.write('remark', { to: mark, asks: false, text }));
	}

	async witness(saw: FieldsOf<'witness'>): Promise<boolean> {
		const mark = this.draft?.mark ?? null;
		const isWritten = await this.#run(this.check.session.write('witness', saw));
		if (!isWritten) return false;
		const id = `${saw.flight}/${saw.parameter}`;
		this.choose(id);
		const title = this.views.find(({ view }) => view.id === id)?.view.title ?? id;
		if (mark !== null) await this.explain(mark, fill(words.markExplained, { title }));
		return true;
	}

	memory(kept: FieldsOf<'memory'>): Promise<boolean> {
		return this.#run(this.check.session.write('memory', kept));
	}

	decide(decided: FieldsOf<'decision'>): Promise<boolean> {
		return this.#run(this.check.session.write('decision', decided));
	}

	async #run(action: Promise<Result<unknown, Problem>>): Promise<boolean> {
		const done = await action;
		this.trouble = done.ok ? null : fill(words.refused, { reason: done.problem.code });
		return done.ok;
	}
}
