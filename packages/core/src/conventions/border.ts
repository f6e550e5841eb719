import { wrap360 } from '../phasor/index.js';
import { fail, ok, type Result } from '../result/index.js';
import { convertVibration, orderHz, quantityOf, type VibrationQuantity } from '../units/index.js';
import { type Convention, type InnerReading, innerConvention, type StatedReading } from './convention.js';

export interface BorderProblem {
	/** `not-a-level`: negative or not finite. `not-a-phase`: not finite. `no-speed`: rpm and order are needed and are not above zero. */
	readonly code: 'not-a-level' | 'not-a-phase' | 'no-speed';
	readonly found: number;
	readonly needed: string;
	readonly path: string;
}

/**
 * Lag that a quantity has beyond velocity. On lag phasors each integration adds 90°: acceleration peaks a quarter turn
 * before velocity, displacement a quarter turn after.
 */
const lagBeyondVelocityDeg: Readonly<Record<VibrationQuantity, number>> = {
	acceleration: -90,
	velocity: 0,
	displacement: 90,
};

/** The turn from a stated lag to the inner one, in degrees. Works on orders too: a shift of the pulse turns order n by n times as much. */
function turnDeg(convention: Convention, order: number): number {
	const fromPulse = order * convention.pulsePassAngleDeg;
	return fromPulse - lagBeyondVelocityDeg[quantityOf(convention.scale.unit)] + (convention.polarity === -1 ? 180 : 0);
}

/**
 * A stated reading in the inner form: peak velocity in ips, lag from the reference blade's pulse.
 * @param rpm rotor speed, above zero where the unit is not a velocity
 * @param order 1 for once per rev
 * Problems: `not-a-level`, `not-a-phase`, `no-speed`. Rules: docs/rules/signals.md SIG-1 to SIG-5.
 */
export function toInner(
	stated: StatedReading,
	convention: Convention,
	rpm: number,
	order = 1,
): Result<InnerReading, BorderProblem> {
	const refused = refusal(stated.level, stated.phaseDeg, convention, rpm, order, '$.level');
	if (refused) return refused;
	const amplitudeIps = convertVibration(stated.level, convention.scale, innerConvention.scale, orderHz(rpm, order));
	if (stated.phaseDeg === null) return ok({ amplitudeIps, phaseDeg: null });
	const lagDeg = convention.phase === 'lag' ? stated.phaseDeg : -stated.phaseDeg;
	return ok({ amplitudeIps, phaseDeg: wrap360(lagDeg + turnDeg(convention, order)) });
}

/** The way back: an inner reading as the instrument would state it. Problems as `toInner`. */
export function fromInner(
	inner: InnerReading,
	convention: Convention,
	rpm: number,
	order = 1,
): Result<StatedReading, BorderProblem> {
	const refused = refusal(inner.amplitudeIps, inner.phaseDeg, convention, rpm, order, '$.amplitudeIps');
	if (refused) return refused;
	const level = convertVibration(inner.amplitudeIps, innerConvention.scale, convention.scale, orderHz(rpm, order));
	if (inner.phaseDeg === null) return ok({ level, phaseDeg: null });
	const lagDeg = inner.phaseDeg - turnDeg(convention, order);
	return ok({ level, phaseDeg: wrap360(convention.phase === 'lag' ? lagDeg : -lagDeg) });
}

function refusal(
	level: number,
	phaseDeg: number | null,
	convention: Convention,
	rpm: number,
	order: number,
	path: string,
) {
	if (!(Number.isFinite(level) && level >= 0)) {
		return fail<BorderProblem>({ code: 'not-a-level', found: level, needed: 'a finite number, zero or more', path });
	}
	if (phaseDeg !== null && !Number.isFinite(phaseDeg)) {
		return fail<BorderProblem>({
			code: 'not-a-phase',
			found: phaseDeg,
			needed: 'a finite number of degrees, or null',
			path: '$.phaseDeg',
		});
	}
	const speed = orderHz(rpm, order);
	if (quantityOf(convention.scale.unit) !== 'velocity' && !(speed > 0 && Number.isFinite(speed))) {
		return fail<BorderProblem>({ code: 'no-speed', found: rpm, needed: 'a rotor speed above zero', path: '$.rpm' });
	}
	return undefined;
}
