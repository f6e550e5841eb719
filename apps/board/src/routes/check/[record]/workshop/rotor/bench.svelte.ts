import type { PredictedReading, Proposal, Proposals, RotorProblem } from '@stillmast/core/balance';
import type { EntryOf } from '@stillmast/formats/entry';
import type { RotorData } from '@stillmast/formats/type-data';
import { afterEarlier, type RotorJob, rotorJob } from '@stillmast/record/judge';
import { adjust, type Done, type Proposed, propose, useProposal, useWritten } from '$lib/check/actions.js';
import { flightNow } from '$lib/check/place.view.js';
import { drawnAs, rotorSheets } from '$lib/check/rotor-sheets.view.js';
import { adjusterLabel, settingsNow, settingText } from '$lib/check/settings.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import type { RotorAdjuster, RotorSheet } from '$lib/parts/rotor/rotor-sheet.js';
import type { EarlierCheck } from '$lib/prepare/earlier-check.js';
import { Solver, type SolverState } from '$lib/solver/solver.svelte.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';

/** The bench of one rotor: what the record holds of it, what the solver says, and what somebody tries. */
export class Bench {
	readonly check: LiveCheck;
	readonly solver = new Solver();
	rotorId: string = $state('');
	/** Number of proposal looked at; null follows the recommendation. */
	#looked: number | null = $state(null);
	/** Settings tried by hand, absolute; null when nothing is tried. */
	#tried: Readonly<Record<string, number>> | null = $state.raw(null);
	kind: RotorAdjuster = $state('plate');
	sheetId: string = $state('');
	trouble: string | null = $state(null);
	/** The check whose answers are learned from too, once it was read from this device. */
	earlier: EarlierCheck | null = $state.raw(null);

	constructor(check: LiveCheck) {
		this.check = check;
		this.rotorId = check.typeData.rotors[0]?.id ?? '';
	}

	get rotor(): RotorData {
		const { rotors } = this.check.typeData;
		return rotors.find(({ id }) => id === this.rotorId) ?? (rotors[0] as RotorData);
	}

	get job(): RotorJob {
		return rotorJob(this.check.state, this.rotor);
	}

	/** What the solver is asked: this check's runs, behind those of the earlier check where one is learned from. */
	get problem(): RotorProblem {
		const { problem } = this.job;
		const before = this.earlier?.typeData.rotors.find(({ id }) => id === this.rotor.id);
		return this.earlier === null || before === undefined
			? problem
			: afterEarlier(problem, rotorJob(this.earlier.state, before).problem);
	}

	get now(): Record<string, number> {
		return settingsNow(this.rotor, this.check.state.rotors.get(this.rotor.id));
	}

	get isTrying(): boolean {
		return this.#tried !== null;
	}

	get answer(): SolverState {
		return this.solver.answer;
	}

	get proposals(): Proposals | null {
		return this.answer.state === 'done' ? this.answer.proposals : null;
	}

	get lookedIndex(): number {
		return this.#looked ?? this.proposals?.recommended ?? 0;
	}

	get looked(): Proposal | null {
		return this.proposals?.proposals[this.lookedIndex] ?? null;
	}

	/** Settings that the rotor picture shows at the spokes: tried by hand, else those of the proposal looked at. */
	get shown(): Readonly<Record<string, number>> {
		return this.#tried ?? { ...this.now, ...this.looked?.settings };
	}

	get predicted(): Readonly<Record<string, PredictedReading>> | null {
		if (this.isTrying) return this.solver.tried?.readings ?? null;
		return this.looked === null || this.looked.touches === 0 ? null : this.looked.predicted;
	}

	get sheets(): RotorSheet[] {
		return rotorSheets({
			rotor: this.rotor,
			job: this.job,
			settings: this.now,
			tried: this.shown,
			predicted: this.predicted,
			learned: this.proposals?.learned ?? [],
			kind: this.kind,
		});
	}

	/** The picture shown large: the one chosen, else the worst reading against its limit. */
	get sheet(): RotorSheet | undefined {
		const { sheets } = this;
		const worst = sheets
			.map((sheet) => ({ sheet, ratio: (sheet.readings.at(-1)?.amplitude ?? 0) / sheet.limit }))
			.sort((a, b) => b.ratio - a.ratio)[0]?.sheet;
		return sheets.find(({ id }) => id === this.sheetId) ?? worst;
	}

	/** Kinds of adjuster that a spoke of this rotor can carry. */
	get kinds(): RotorAdjuster[] {
		return [...new Set(this.rotor.adjusters.map(({ kind }) => drawnAs(kind)))];
	}

	/** The ground time on which changes are written down: after the newest flight. */
	get after(): number {
		return flightNow(this.check.state).flight;
	}

	chooseRotor(rotorId: string): void {
		this.rotorId = rotorId;
		this.#looked = null;
		this.sheetId = '';
		this.kind = 'plate';
		this.stopTrying();
	}

	look(index: number): void {
		this.#looked = index;
		this.stopTrying();
	}

	/** One step more or less at a blade, within what the type allows. */
	step(bladeId: string, kind: RotorAdjuster, direction: 1 | -1): void {
		const adjuster = this.rotor.adjusters.find(
			(one) => (one.blade ?? one.id) === bladeId && drawnAs(one.kind) === kind,
		);
		if (adjuster === undefined) return;
		this.stepAdjuster(adjuster.id, direction);
	}

	stepAdjuster(adjusterId: string, direction: 1 | -1): void {
		const adjuster = this.rotor.adjusters.find(({ id }) => id === adjusterId);
		if (adjuster === undefined) return;
		const from = this.shown[adjusterId] ?? 0;
		const to = Math.min(adjuster.max, Math.max(adjuster.min, from + direction * adjuster.step));
		this.#tried = { ...this.shown, [adjusterId]: to };
		this.solver.predict(this.problem, this.#tried);
	}

	tryOwn(): void {
		this.#tried = { ...this.shown };
		this.solver.predict(this.problem, this.#tried);
	}

	stopTrying(): void {
		this.#tried = null;
		this.solver.stopTrying();
	}

	/** Writes the proposal looked at, or what is tried, as taken up by the engineer. */
	use(): Promise<void> {
		return this.#run(useProposal(this.check.session, this.#proposed()));
	}

	/** Takes up somebody else's proposal: the engineer's word and pen, the other's settings. */
	useOther(proposal: EntryOf<'proposal'>): Promise<void> {
		return this.#run(useWritten(this.check.session, proposal));
	}

	propose(): Promise<void> {
		return this.#run(propose(this.check.session, this.#proposed()));
	}

	writeFound(): Promise<void> {
		return this.#run(adjust(this.check.session, this.rotor.id, 0, 'found', this.now));
	}

	writeDone(settings: Readonly<Record<string, number>>): Promise<void> {
		return this.#run(adjust(this.check.session, this.rotor.id, this.after, 'made', settings));
	}

	writeMeasured(settings: Readonly<Record<string, number>>): Promise<void> {
		return this.#run(adjust(this.check.session, this.rotor.id, this.after, 'measured', settings));
	}

	close(): void {
		this.solver.close();
	}

	#proposed(): Proposed {
		const { now, shown } = this;
		const changed = Object.keys(shown).filter((id) => shown[id] !== now[id]);
		const pick = (all: Readonly<Record<string, number>>) => Object.fromEntries(changed.map((id) => [id, all[id] ?? 0]));
		const looked = this.isTrying ? null : this.looked;
		const words = looked?.changes.map((change) => change.words) ?? changed.map((id) => this.#changeWords(id));
		return {
			rotor: this.rotor.id,
			after: this.after,
			text: words.join('; '),
			words,
			from: pick(now),
			settings: pick(shown),
			...(looked === null
				? {}
				: {
						predicted: Object.fromEntries(
							Object.entries(looked.predicted).map(([channel, one]) => [
								channel,
								{
									amplitudeIps: one.amplitudeIps,
									phaseDeg: one.phaseDeg,
									low95Ips: one.low95Ips,
									high95Ips: one.high95Ips,
									chanceWithinLimit: one.chanceWithinLimit,
									chanceWithinGoal: one.chanceWithinGoal,
								},
							]),
						),
						chanceAllWithinLimit: looked.chanceAllWithinLimit,
						chanceAllWithinGoal: looked.chanceAllWithinGoal,
						proved: looked.proved,
					}),
		};
	}

	/** "Blade A tab: +0.5\u00b0 to +2.0\u00b0". */
	#changeWords(adjusterId: string): string {
		const adjuster = this.rotor.adjusters.find(({ id }) => id === adjusterId);
		if (adjuster === undefined) return adjusterId;
		return fill(journey.workshop.fromTo, {
			adjuster: adjusterLabel(adjuster),
			from: settingText(adjuster, this.now[adjusterId] ?? 0),
			to: settingText(adjuster, this.shown[adjusterId] ?? 0),
		});
	}

	async #run(action: Promise<Done | Awaited<ReturnType<typeof propose>>>): Promise<void> {
		const done = await action;
		this.trouble = done.ok ? null : done.problem.code;
		if (done.ok) this.stopTrying();
	}
}
