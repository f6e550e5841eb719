import { seededDraw } from '../random.js';
import {
	HiddenRotor,
	type RotorReadingIps,
	type TailSpread,
	usualTail,
	type VibrationTable,
} from '../rotor/hidden-fault.js';

/**
 * What the hidden rotor of a tail reads in one run: the same for every device and every page load, so that a rehearsal
 * can be left and taken up again.
 * @param seed of the tail
 * @param run counted from 1; each has scatter of its own
 * @param settings as they were on the aircraft in that run, absolute; a missing one is 0
 */
export function rehearsedRun(
	table: VibrationTable,
	seed: number,
	run: number,
	settings: Readonly<Record<string, number>>,
	spread: TailSpread = usualTail,
): readonly RotorReadingIps[] {
	const rotor = new HiddenRotor(table, spread, seededDraw(seed));
	// scatter is drawn run by run, so the runs before are read as well
	for (let before = 1; before < run; before += 1) rotor.read({});
	return rotor.read(settings);
}
