import type { Problem, Result } from '@stillmast/core/result';
import type { Device } from '$lib/live/device.js';
import type { CrewPen } from '$lib/live/pens.js';
import smoothingText from '../../../../../demo-scenarios/after-gearbox-smoothing/card.json?raw';
import typeText from '../../../../../demo-scenarios/after-gearbox-smoothing/type.json?raw';
import wholeText from '../../../../../demo-scenarios/whole-card/card.json?raw';
import { openCheckWith } from './open-check-with.js';
import type { SampleCard } from './sample-cards.js';

const cardTexts: Readonly<Record<SampleCard, string>> = { smoothing: smoothingText, whole: wholeText };

/** Opens a check on the invented Ouzel 3 with a sample card; answers with the record's id. */
export function openSampleCheck(
	device: Device,
	asked: { readonly registration: string; readonly card: SampleCard; readonly by: CrewPen },
): Promise<Result<string, Problem>> {
	return openCheckWith(device, {
		purpose: 'demo',
		aircraft: { registration: asked.registration, type: 'Ouzel 3', serial: '' },
		by: asked.by,
		card: cardTexts[asked.card],
		typeData: typeText,
	});
}
