import type { RotorData } from '@stillmast/formats/type-data';
import type { RecordState, VibrationGroup } from '@stillmast/record';
import type { LaneReading, RangedValue } from '$lib/parts/wall/lane.view.js';
import type { WallRow } from '$lib/parts/wall/wall.view.js';
import { vibrationScale } from '$lib/words/vibration.js';
import { judgedLane, newestGroup } from './lane-reading.view.js';

/** Which readings a wall shows: the newest of each channel, or those of one run. */
export type Which = 'newest' | { readonly flight: number; readonly run: number };

/** One lane per channel of a rotor, in the order of the type data. */
export function wallRows(
	state: RecordState,
	rotor: RotorData,
	which: Which,
	channelIds?: readonly string[],
): WallRow[] {
	const { unit, digits, limitDigits, perIps } = vibrationScale();
	const wanted = channelIds ?? rotor.channels.map(({ id }) => id);
	return wanted.flatMap((channelId) => {
		const channel = rotor.channels.find(({ id }) => id === channelId);
		if (channel === undefined) return [];
		const { reading, ...sureness } = judgedLane(state, rotor, channelId, groupOf(state, rotor.id, channelId, which));
		return [
			{
				id: channelId,
				label: channelWords(rotor, channelId),
				unit,
				digits,
				limitDigits,
				limit: { kind: 'at-most', limit: channel.limitIps * perIps } as const,
				goal: channel.goalIps * perIps,
				...sureness,
				reading: times(reading, perIps),
			},
		];
	});
}

/** The same reading in another unit. */
function times(reading: LaneReading, factor: number): LaneReading {
	const scaled = <One extends RangedValue>(one: One): One => ({
		...one,
		value: one.value * factor,
		low95: one.low95 * factor,
		high95: one.high95 * factor,
	});
	if (reading.state === 'missing' || reading.state === 'cannot-judge') return reading;
	return reading.state === 'differing'
		? { ...reading, first: scaled(reading.first), second: scaled(reading.second) }
		: scaled(reading);
}

/** "80 kt lateral": a channel in the words of the type data. */
export function channelWords(rotor: RotorData, channelId: string): string {
	const channel = rotor.channels.find(({ id }) => id === channelId);
	if (channel === undefined) return channelId;
	const regime = rotor.regimes[channel.regime] ?? channel.regime;
	return `${regime} ${rotor.stations[channel.station] ?? channel.station}`;
}

function groupOf(state: RecordState, rotorId: string, channelId: string, which: Which): VibrationGroup | undefined {
	if (which === 'newest') return newestGroup(state, rotorId, channelId);
	return state.vibrations.find(
		(group) =>
			group.rotor === rotorId &&
			group.channel === channelId &&
			group.flight === which.flight &&
			group.run === which.run,
	);
}
