import type { Adjuster, Channel } from '../../src/balance/index.js';

/** What one rotor type looks like on paper: invented, in the sizes small single-rotor helicopters have. */
export interface RotorShape {
	readonly id: 'three-blade' | 'five-blade' | 'tail' | 'two-blade';
	readonly rpm: number;
	readonly bladeAnglesDeg: readonly number[];
	readonly untouchedBlade: string | null;
	readonly channels: readonly Channel[];
	readonly adjusters: readonly Adjuster[];
	/** Per channel and kind the table's coefficient, ips per unit and lag at pass angle 0. */
	readonly table: readonly { channel: string; kind: string; amplitudeIpsPerUnit: number; phaseDeg: number }[];
	/** Sd of the hidden fault at each adjuster, in its unit. */
	readonly faultSd: Readonly<Record<string, number>>;
}

const GOAL_IPS = 0.1;
const LIMIT_IPS = 0.2;
/** How far a tab springs back after it was bent, degrees; the type's figure is the default of 0.25. */
export const TAB_SPRINGBACK_SD_DEG = 0.2;

const THREE_BLADE = mainRotor('three-blade', 390, [0, 120, 240], false);
const FIVE_BLADE = mainRotor('five-blade', 340, [0, 72, 144, 216, 288], true);
const TWO_BLADE = mainRotor('two-blade', 400, [0, 180], false);

export const SHAPES = {
	'three-blade': THREE_BLADE,
	'five-blade': FIVE_BLADE,
	'two-blade': TWO_BLADE,
	tail: tailRotor(),
} as const;

function mainRotor(id: RotorShape['id'], rpm: number, anglesDeg: readonly number[], links: boolean): RotorShape {
	const speedsKt = [0, 60, 100, 130];
	const channels: Channel[] = [];
	const table: RotorShape['table'][number][] = [];
	for (const station of ['lat', 'vert'] as const) {
		for (const speed of speedsKt) {
			const channel = `${speed === 0 ? 'hover' : `${speed} kt`}/${station}`;
			channels.push({ id: channel, regime: channel.split('/')[0]!, station, limitIps: LIMIT_IPS, goalIps: GOAL_IPS });
			const vertical = station === 'vert';
			const start = vertical ? 205 : 40;
			const pressure = (speed / 110) ** 2;
			const add = (kind: string, amplitudeIpsPerUnit: number, phaseDeg: number) =>
				table.push({ channel, kind, amplitudeIpsPerUnit, phaseDeg: (phaseDeg + 360) % 360 });
			add('plate', vertical ? 0.006 : 0.05, start + speed / 20);
			add('tab', (vertical ? 0.05 : 0.012) * (0.05 + pressure), start + 34 - speed / 10);
			if (links) add('link', (vertical ? 0.022 : 0.006) * (0.6 + (0.4 * speed) / 110), start + 17 + speed / 15);
		}
	}
	const letters = anglesDeg.map((_, i) => String.fromCharCode(65 + i));
	const adjusters: Adjuster[] = anglesDeg.map((passAngleDeg, i) => ({
		id: `plate-${letters[i]!}`,
		kind: 'plate',
		blade: letters[i]!,
		passAngleDeg,
		min: 0,
		max: 16,
		step: 1,
		unit: 'plate',
	}));
	anglesDeg.forEach((passAngleDeg, i) => {
		adjusters.push({
			id: `tab-${letters[i]!}`,
			kind: 'tab',
			blade: letters[i]!,
			passAngleDeg,
			min: -5,
			max: 5,
			step: 0.5,
			unit: 'deg',
			settingSd: 0.25,
		});
		if (!links) return;
		const blade = letters[i]!;
		adjusters.push({
			id: `link-${blade}`,
			kind: 'link',
			blade,
			passAngleDeg,
			min: -12,
			max: 12,
			step: 1,
			unit: 'flat',
		});
	});
	return {
		id,
		rpm,
		bladeAnglesDeg: anglesDeg,
		untouchedBlade: 'A',
		channels,
		adjusters,
		table,
		faultSd: { plate: 4, tab: 2, link: 4 },
	};
}

function tailRotor(): RotorShape {
	const channels: Channel[] = ['ground', 'hover', '100 kt'].map((regime) => ({
		id: `${regime}/tail`,
		regime,
		station: 'tail',
		limitIps: LIMIT_IPS,
		goalIps: GOAL_IPS,
	}));
	return {
		id: 'tail',
		rpm: 2100,
		bladeAnglesDeg: [0, 180],
		untouchedBlade: null,
		channels,
		adjusters: [0, 90, 180, 270].map((passAngleDeg) => ({
			id: `point-${passAngleDeg}`,
			kind: 'screw',
			passAngleDeg,
			min: 0,
			max: 20,
			step: 1,
			unit: 'g',
		})),
		table: channels.map(({ id }, i) => ({
			channel: id,
			kind: 'screw',
			amplitudeIpsPerUnit: 0.05 + 0.005 * i,
			phaseDeg: 75 + 6 * i,
		})),
		faultSd: { screw: 3 },
	};
}
