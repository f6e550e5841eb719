import type { Run } from '../../src/balance/index.js';
import type { Seeded } from './seeded.js';
import type { SimulatedRotor } from './simulated-rotor.js';

/** A mistake as a mechanic or a crew makes it: what truly stands on the rotor, or what is written down of a reading. */
export interface Mistake {
	readonly id: string;
	readonly scope: readonly string[];
	/** Settings that truly stand, where the change went wrong. */
	readonly truly?: Readonly<Record<string, number>>;
	/** What is written down instead of what was flown. */
	readonly written?: (run: Run) => Run;
}

type Settings = Readonly<Record<string, number>>;

const IDS = [
	'next-arm',
	'previous-arm',
	'swapped-arms',
	'sign-reversed',
	'not-made',
	'reference-moved',
	'phase-sense',
	'polarity',
	'stations-swapped',
] as const;

/** Draws a mistake that is possible on this rotor: each kind equally often, half of the changes wrong as a whole. */
export function drawMistake(
	rotor: SimulatedRotor,
	before: Settings,
	recorded: Settings,
	random: Seeded,
): Mistake | null {
	const changed = rotor.shape.adjusters.map(({ id }) => id).filter((id) => before[id] !== recorded[id]);
	if (changed.length === 0) return null;
	const id = IDS[Math.floor(random.uniform() * IDS.length)]!;
	const one = changed[Math.floor(random.uniform() * changed.length)]!;
	const scope = random.uniform() < 0.5 ? changed : [one];
	switch (id) {
		case 'next-arm':
			return onRotor(rotor, id, scope, moved(rotor, before, recorded, scope, 1));
		case 'previous-arm':
			return onRotor(rotor, id, scope, moved(rotor, before, recorded, scope, -1));
		case 'swapped-arms': {
			const others = rotor.shape.adjusters.filter((a) => a.id !== one && a.kind === kindOf(rotor, one));
			const other = others[Math.floor(random.uniform() * others.length)]!.id;
			const truly = { ...recorded };
			truly[one] = before[one]! + recorded[other]! - before[other]!;
			truly[other] = before[other]! + recorded[one]! - before[one]!;
			return onRotor(rotor, id, [one, other], truly);
		}
		case 'sign-reversed':
			return onRotor(rotor, id, scope, stepped(before, recorded, scope, -1));
		case 'not-made':
			return onRotor(rotor, id, scope, stepped(before, recorded, scope, 0));
		case 'reference-moved': {
			const turn = (random.uniform() < 0.5 ? 1 : -1) * (360 / rotor.shape.bladeAnglesDeg.length);
			return { id, scope: [], written: (run) => rewritten(run, (_, phaseDeg) => phaseDeg + turn) };
		}
		case 'phase-sense':
			return { id, scope: [], written: (run) => rewritten(run, (_, phaseDeg) => -phaseDeg) };
		case 'polarity': {
			const stations = [...new Set(rotor.shape.channels.map((channel) => channel.station))];
			const station = stations[Math.floor(random.uniform() * stations.length)]!;
			return {
				id: `polarity:${station}`,
				scope: [station],
				written: (run) =>
					rewritten(run, (channel, phaseDeg) => (stationOf(rotor, channel) === station ? phaseDeg + 180 : phaseDeg)),
			};
		}
		case 'stations-swapped': {
			const stations = [...new Set(rotor.shape.channels.map((channel) => channel.station))];
			if (stations.length < 2) return null;
			return { id, scope: stations, written: (run) => ({ ...run, readings: swappedStations(rotor, run) }) };
		}
	}
}

function onRotor(rotor: SimulatedRotor, id: string, scope: readonly string[], truly: Settings): Mistake | null {
	const possible = rotor.shape.adjusters.every((a) => truly[a.id]! >= a.min && truly[a.id]! <= a.max);
	return possible ? { id, scope, truly } : null;
}

function stepped(before: Settings, recorded: Settings, scope: readonly string[], factor: number): Settings {
	const truly = { ...recorded };
	for (const id of scope) truly[id] = before[id]! + factor * (recorded[id]! - before[id]!);
	return truly;
}

function moved(
	rotor: SimulatedRotor,
	before: Settings,
	recorded: Settings,
	scope: readonly string[],
	by: 1 | -1,
): Settings {
	const truly = { ...recorded };
	for (const id of scope) {
		const row = rotor.shape.adjusters.filter((a) => a.kind === kindOf(rotor, id));
		const at = row.findIndex((a) => a.id === id);
		const neighbour = row[(at + by + row.length) % row.length]!.id;
		truly[id]! -= recorded[id]! - before[id]!;
		truly[neighbour]! += recorded[id]! - before[id]!;
	}
	return truly;
}

function rewritten(run: Run, phase: (channel: string, phaseDeg: number) => number): Run {
	const readings = Object.fromEntries(
		Object.entries(run.readings).map(([channel, reading]) => [
			channel,
			{ ...reading, phaseDeg: (phase(channel, reading.phaseDeg!) + 720) % 360 },
		]),
	);
	return { ...run, readings };
}

function swappedStations(rotor: SimulatedRotor, run: Run): Run['readings'] {
	return Object.fromEntries(
		rotor.shape.channels.map((channel) => {
			const twin = rotor.shape.channels.find((c) => c.regime === channel.regime && c.station !== channel.station)!;
			return [channel.id, run.readings[twin.id]!];
		}),
	);
}

function kindOf(rotor: SimulatedRotor, adjuster: string): string {
	return rotor.shape.adjusters.find((a) => a.id === adjuster)!.kind;
}

function stationOf(rotor: SimulatedRotor, channel: string): string {
	return rotor.shape.channels.find((c) => c.id === channel)!.station;
}
