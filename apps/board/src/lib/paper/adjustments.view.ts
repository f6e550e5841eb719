import type { EntryOf } from '@stillmast/formats/entry';
import type { RotorData, TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { settingsBefore } from '@stillmast/record/judge';
import { clockText, penOf } from '$lib/check/people.view.js';
import { adjusterLabel, settingText } from '$lib/check/settings.view.js';
import { penInitial } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { paper } from '$lib/words/paper.js';

/** What was changed on one rotor in one stay on the ground. */
export interface GroundWork {
	readonly id: string;
	readonly title: string;
	readonly lines: readonly ChangeLine[];
	/** What was said of the independent inspection, where flight-control work asks for one. */
	readonly inspections: readonly string[];
}

export interface ChangeLine {
	readonly id: string;
	readonly what: string;
	/** "0 plates to 5 plates". */
	readonly change: string;
	readonly made: string;
	readonly measured: string;
}

/** Adjustments in the order of the stays on the ground; what was only planned is left out. */
export function groundWork(state: RecordState, typeData: TypeData): GroundWork[] {
	return typeData.rotors.flatMap((rotor) => {
		const written = state.of.adjustment.filter((one) => one.rotor === rotor.id && one.stage !== 'found');
		const stays = [...new Set(written.filter(({ stage }) => stage !== 'planned').map(({ after }) => after))];
		return stays
			.sort((a, b) => a - b)
			.map((after) => {
				const work = written.filter((one) => one.after === after);
				return {
					id: `${rotor.id} ${after}`,
					title: fill(paper.afterFlight, { rotor: rotor.name, flight: String(after) }),
					lines: changeLines(state, rotor, after, work),
					inspections: inspectionWords(state, rotor, work),
				};
			});
	});
}

function changeLines(
	state: RecordState,
	rotor: RotorData,
	after: number,
	work: readonly EntryOf<'adjustment'>[],
): ChangeLine[] {
	const before = settingsBefore(state.rotors.get(rotor.id), after).settings;
	return rotor.adjusters.flatMap((adjuster) => {
		const said = (stage: 'made' | 'measured') =>
			work.filter((one) => one.stage === stage && one.settings[adjuster.id] !== undefined);
		const done = [...said('made'), ...said('measured')];
		const last = done.at(-1);
		if (last === undefined) return [];
		const from = before[adjuster.id] ?? 0;
		const to = last.settings[adjuster.id] ?? 0;
		return [
			{
				id: adjuster.id,
				what: adjusterLabel(adjuster),
				change: fill(paper.fromTo, { from: settingText(adjuster, from), to: settingText(adjuster, to) }),
				made: said('made')
					.map((one) => byWords(state, one))
					.join(', '),
				measured: said('measured')
					.map((one) => `${settingText(adjuster, one.settings[adjuster.id] ?? 0)} ${byWords(state, one)}`)
					.join(', '),
			},
		];
	});
}

function inspectionWords(state: RecordState, rotor: RotorData, work: readonly EntryOf<'adjustment'>[]): string[] {
	const hashes = new Set(work.map(({ hash }) => hash));
	const done = state.of.inspection
		.filter(({ adjustment }) => hashes.has(adjustment))
		.map((one) =>
			fill(paper.inspection, {
				result: one.result === 'in-order' ? paper.inOrder : paper.notInOrder,
				pen: penInitial(penOf(state, one.by)),
				time: clockText(one.at),
			}),
		);
	const isOpen = state.rotors.get(rotor.id)?.inspectionsOpen.some((hash) => hashes.has(hash)) ?? false;
	return isOpen ? [...done, paper.inspectionMissing] : done;
}

function byWords(state: RecordState, entry: EntryOf<'adjustment'>): string {
	return `${penInitial(penOf(state, entry.by))} ${clockText(entry.at)}`;
}
