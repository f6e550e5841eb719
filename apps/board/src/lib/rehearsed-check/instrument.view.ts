import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { settingsBefore } from '@stillmast/record/judge';
import { rehearsedRun } from '@stillmast/rehearsal';
import type { Ask } from '$lib/check/ask.js';
import { fill } from '$lib/words/fill.js';
import { type DecimalMark, numberText } from '$lib/words/number.js';
import { rehearsedCheck as words } from '$lib/words/rehearsed-check.js';

/** Runs of one flight that have scatter of their own. */
const runsPerFlight = 9;

/** What the simulated instrument reads for one field at this moment, in words. */
export function instrumentWords(
	asked: Ask,
	at: { readonly state: RecordState; readonly typeData: TypeData; readonly flight: number; readonly run: number },
	tail: number,
	mark: DecimalMark,
): string {
	return fill(words.instrument, { reading: readingWords(asked, at, tail, mark) });
}

function readingWords(
	asked: Ask,
	{ state, typeData, flight, run }: Parameters<typeof instrumentWords>[1],
	tail: number,
	mark: DecimalMark,
): string {
	if (asked.kind === 'number') return words.notRead;
	const index = typeData.rotors.findIndex(({ id }) => id === asked.rotor);
	const rotor = typeData.rotors[index];
	if (rotor === undefined) return words.notRead;
	const { settings, differing } = settingsBefore(state.rotors.get(rotor.id), flight);
	if (differing.length > 0) return words.unsettled;
	// each rotor of a tail has a fault of its own
	const seed = tail * typeData.rotors.length + index;
	const read = rehearsedRun(rotor, seed, (flight - 1) * runsPerFlight + run, settings);
	const reading = read.find(({ channel }) => channel === asked.channel);
	if (reading === undefined) return words.notRead;
	return fill(words.reading, {
		amplitude: numberText(reading.amplitudeIps, { digits: 2, mark }),
		phase: `${numberText(Math.round(reading.phaseDeg) % 360, { digits: 0, mark })}\u00b0`,
	});
}
