import { wrap360 } from '../phasor/index.js';
import { fail, ok, type Result } from '../result/index.js';

export interface ClockProblem {
	readonly code: 'not-a-clock-position';
	readonly found: number;
	readonly needed: string;
	readonly path: string;
}

/**
 * Angle of a clock position as read off a dial: 12 o'clock is 0°, each hour 30°, each minute half a degree. Input only;
 * whether it is a lag or a lead, and from which pulse, the convention says.
 * @param hours 0 to 12 (0 and 12 are the same)
 * @param minutes 0 to below 60
 * Problem `not-a-clock-position`.
 */
export function clockToDeg(hours: number, minutes = 0): Result<number, ClockProblem> {
	if (!(hours >= 0 && hours <= 12))
		return fail({ code: 'not-a-clock-position', found: hours, needed: 'hours from 0 to 12', path: '$.hours' });
	if (!(minutes >= 0 && minutes < 60)) {
		return fail({
			code: 'not-a-clock-position',
			found: minutes,
			needed: 'minutes from 0 to below 60',
			path: '$.minutes',
		});
	}
	return ok(wrap360(hours * 30 + minutes / 2));
}
