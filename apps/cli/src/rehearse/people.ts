import type { AttemptFault, RehearsedAttempt } from '@stillmast/rehearsal';
import { cautions } from '../print/cautions.js';
import { rounded } from '../print/figures.js';
import { table } from '../print/table.js';

const faultWords: Readonly<Record<AttemptFault, string>> = {
	'too-fast': 'too fast',
	'too-slow': 'too slow',
	torque: 'torque over its limit',
	'rotor-speed': 'rotor speed under its limit',
	temperature: 'temperature over its limit',
	'lever-end': 'lever not at its end',
};

/** Attempts as a table, one row each. */
export function attemptsForPeople(attempts: readonly RehearsedAttempt[], title: string): string {
	const rows = attempts.map((one) => [
		String(one.attempt),
		shown(one.times?.equivalentS, 2, 's'),
		shown(one.times?.totalS, 2, 's'),
		shown(one.peakTorquePct, 1, '%'),
		shown(one.leastNrPct, 1, '%'),
		shown(one.peakTotC, 0, '°C'),
		verdict(one),
	]);
	const head = [
		'attempt',
		'equivalent',
		'total',
		'peak torque',
		'least rotor speed',
		'peak temperature',
		'against the task',
	];
	return `${title}\n\n${table([head, ...rows], [0, 1, 2, 3, 4, 5])}\n\n${rehearsalCautions}\n${cautions}`;
}

export const rehearsalCautions =
	'Rehearsal with a scripted pilot and an invented helicopter: nothing here was flown.\n' +
	'Not a training device with credit; inside here is not readiness for the aircraft.';

function verdict({ isInside, faults, times }: RehearsedAttempt): string {
	if (isInside) return 'inside';
	const timing = times === null ? ['time cannot be told'] : [];
	return `outside: ${[...timing, ...faults.map((fault) => faultWords[fault])].join(', ')}`;
}

function shown(value: number | null | undefined, decimals: number, unit: string): string {
	return value === null || value === undefined ? 'not seen' : `${rounded(value, decimals)} ${unit}`;
}
