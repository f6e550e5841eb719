import { judgeReading, readingSdIps } from '@stillmast/core/reading';
import type { RotorData } from '@stillmast/formats/type-data';
import type { RecordState, VibrationGroup } from '@stillmast/record';
import type { LaneReading, RangedValue } from '$lib/parts/wall/lane.view.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { chanceText } from '$lib/words/number.js';
import { penOf } from './people.view.js';

/** What a lane shows of one channel, and how sure that is when the limit lies within the reading's range. */
export interface JudgedLane {
	readonly reading: LaneReading;
	readonly sureness?: string;
}

/** The readings of one channel in one run, judged against its limit; `undefined` when there are none. */
export function judgedLane(
	state: RecordState,
	rotor: RotorData,
	channelId: string,
	group: VibrationGroup | undefined,
): JudgedLane {
	const channel = rotor.channels.find(({ id }) => id === channelId);
	if (channel === undefined) return { reading: { state: 'cannot-judge', reason: journey.wall.noLimit } };
	if (group === undefined) return { reading: { state: 'missing' } };
	const ranged = (entry: VibrationGroup['entries'][number]): RangedValue => {
		const judged = judgeReading(entry.amplitudeIps, sdOf(rotor, entry), channel.limitIps);
		return { value: entry.amplitudeIps, low95: judged.low95Ips, high95: judged.high95Ips };
	};
	if (group.holds === null) {
		const [first, second] = [group.entries[0], group.entries.at(-1)];
		if (first === undefined || second === undefined) return { reading: { state: 'missing' } };
		return {
			reading: {
				state: 'differing',
				first: { ...ranged(first), pen: penOf(state, first.by) },
				second: { ...ranged(second), pen: penOf(state, second.by) },
			},
		};
	}
	const range = ranged(group.holds);
	if (isStale(state, rotor.id, channelId, group.flight)) return { reading: { state: 'stale', ...range } };
	const judged = judgeReading(group.holds.amplitudeIps, sdOf(rotor, group.holds), channel.limitIps);
	const isClose = judged.side === 'near-inside' || judged.side === 'near-outside';
	return {
		reading: { state: judged.side, ...range },
		...(isClose ? { sureness: fill(journey.wall.sureness, { chance: chanceText(judged.chanceTrueLevelAbove) }) } : {}),
	};
}

/** The newest readings of a channel, by flight and run. */
export function newestGroup(state: RecordState, rotorId: string, channelId: string): VibrationGroup | undefined {
	return state.vibrations
		.filter((group) => group.rotor === rotorId && group.channel === channelId)
		.sort((a, b) => a.flight - b.flight || a.run - b.run)
		.at(-1);
}

/** A change made since may have moved it. */
export function isStale(state: RecordState, rotorId: string, channelId: string, flight: number): boolean {
	const result = `vibration/${rotorId}/${channelId}`;
	return state.measureAgain.some((one) => one.result === result && one.flight === flight);
}

function sdOf(rotor: RotorData, entry: VibrationGroup['entries'][number]): number {
	return readingSdIps(entry.amplitudeIps, rotor.noise, entry.sdIps ?? 0);
}
