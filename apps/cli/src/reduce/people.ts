import type { OrdersAnswer } from '@stillmast/core/vibration';
import { cautions } from '../print/cautions.js';
import { degrees, rounded } from '../print/figures.js';
import { table } from '../print/table.js';

/** Reduced readings as a workshop writes them down, with what was left out of the recording and why. */
export function ordersForPeople({ rpm, revolutions, pulses, phaseStepDeg, readings }: OrdersAnswer): string {
	const { unsteady, missedPulse, gap, shortStretch } = revolutions.because;
	const reasons = [
		`${unsteady} unsteady`,
		`${missedPulse} with a missed pulse`,
		`${gap} with samples missing`,
		`${shortStretch} in too short a stretch`,
	];
	const rows = readings.map(({ channel, order, amplitudeIps, phaseDeg, sdIps }) => [
		channel,
		`${order}/rev`,
		`${rounded(amplitudeIps, 3)} ips`,
		phaseDeg === null ? 'no phase' : degrees(phaseDeg),
		`± ${rounded(sdIps, 4)} per axis`,
	]);
	const parts = [
		[
			`${rounded(rpm.mean, 1)} rpm (${rounded(rpm.min, 1)} to ${rounded(rpm.max, 1)})`,
			`${revolutions.used} revolutions used, ${revolutions.rejected} left out: ${reasons.join(', ')}`,
			`${pulses.found} pulses found, ${pulses.missed} missed, ${pulses.double} double`,
			...(phaseStepDeg === 0 ? [] : [`! phases are known only up to steps of ${rounded(phaseStepDeg, 1)}°`]),
		].join('\n'),
		table(rows, [1, 2, 3]),
		cautions.trimEnd(),
	];
	return `${parts.join('\n\n')}\n`;
}
