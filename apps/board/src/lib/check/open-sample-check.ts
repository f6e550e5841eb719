import { ok, type Problem, type Result } from '@stillmast/core/result';
import { hashBytes } from '@stillmast/record';
import { openCheck } from '@stillmast/record/client';
import type { Device } from '$lib/live/device.js';
import type { CrewPen } from '$lib/live/pens.js';
import smoothingText from '../../../../../demo-scenarios/after-gearbox-smoothing/card.json?raw';
import typeText from '../../../../../demo-scenarios/after-gearbox-smoothing/type.json?raw';
import wholeText from '../../../../../demo-scenarios/whole-card/card.json?raw';

const cardTexts = { smoothing: smoothingText, whole: wholeText } as const;

/** Sample cards: smoothing alone, or a whole check flight from the papers to the last signature. */
export type SampleCard = keyof typeof cardTexts;
export const sampleCards = Object.keys(cardTexts) as readonly SampleCard[];

/**
 * Opens a check on the invented Ouzel 3 with a sample card. It works on this device alone; the host gets it as soon
 * as it lets this pen bring a record.
 * @returns the record's id
 */
export async function openSampleCheck(
	device: Device,
	asked: {
		readonly registration: string;
		readonly card: SampleCard;
		readonly by: CrewPen;
	},
): Promise<Result<string, Problem>> {
	const { pen, role } = asked.by;
	const blobs = [cardTexts[asked.card], typeText].map((text) => new TextEncoder().encode(text));
	const [card, typeData] = blobs.map(hashBytes) as [string, string];
	const opened = await openCheck(
		device,
		{ key: pen.key, unlocked: 'by-code' },
		{
			fields: {
				purpose: 'demo',
				role,
				name: pen.name,
				aircraft: { registration: asked.registration, type: 'Ouzel 3', serial: '' },
				card,
				typeData,
			},
			blobs,
		},
	);
	if (!opened.ok) return opened;
	await opened.value.settled();
	opened.value.close();
	return ok(opened.value.record);
}
