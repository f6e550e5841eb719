import type { Problem, Result } from '@stillmast/core/result';
import { openCheckWith } from '$lib/check/open-check-with.js';
import type { Device } from '$lib/live/device.js';
import type { CrewPen } from '$lib/live/pens.js';
import cardText from '../../../../../demo-scenarios/after-gearbox-smoothing/card.json?raw';
import typeText from '../../../../../demo-scenarios/after-gearbox-smoothing/type.json?raw';
import { writeTail } from './tail.js';

/** Opens a rehearsal of a whole check on the invented Ouzel 3. @returns the record's id */
export function openRehearsedCheck(device: Device, by: CrewPen, tail: number): Promise<Result<string, Problem>> {
	return openCheckWith(device, {
		purpose: 'rehearsal',
		aircraft: { registration: 'ZZ-SIM', type: 'Ouzel 3', serial: '' },
		by,
		card: cardText,
		typeData: typeText,
		first: (session) => writeTail(session, tail),
	});
}
