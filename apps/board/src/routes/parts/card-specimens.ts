import type { RibbonStep } from '$lib/parts/ribbon/ribbon.view.js';

const step = (title: string, rise: number, state: RibbonStep['state']): RibbonStep => ({
	id: title,
	title,
	rise,
	state,
});

/** An invented card part way through its second flight. */
export const cardSteps: readonly RibbonStep[] = [
	step('before start', 0, 'done'),
	step('ground idle', 0, 'done'),
	step('ground full speed', 0, 'done'),
	step('flat pitch vibration', 0, 'again'),
	step('hover', 0.35, 'done'),
	step('hover turns', 0.35, 'done'),
	step('60 kt level', 0.62, 'done'),
	step('80 kt level', 0.72, 'now'),
	step('100 kt level', 0.84, 'ahead'),
	step('110 kt level', 0.92, 'left'),
	step('120 kt level', 1, 'ahead'),
	step('power check', 1, 'ahead'),
	step('bleed', 0.84, 'ahead'),
	step('autorotation', 0.62, 'ahead'),
	step('ramps', 0.35, 'ahead'),
	step('shut down', 0, 'ahead'),
];
