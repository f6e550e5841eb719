// As much as a host takes: every room has a window of updates under way; one that has reached all others makes place for
// the next.

import { connect } from './clients.mjs';
import { cpuSecondsOf, machineBusyS } from './hosts.mjs';

/** First part of a run, in which a process warms up: sent, but not counted. */
const WARM_UP = 0.25;

/**
 * @param hosts of one kind on one store; devices of a room are dealt out to them in turn
 * @param rooms `[{record, lots: [{chain, frames}]}]`, one device for each lot
 * @returns rates and costs of the counted part, which ends when everything has reached everybody and is stored
 */
export async function saturate(hosts, key, rooms, windowOfRoom) {
	const ours = hosts[0].ours;
	const plays = [];
	for (const room of rooms) plays.push(await enterRoom(hosts, key, room));
	await new Promise((resolve) => setTimeout(resolve, 300));
	const total = rooms.reduce((sum, { lots }) => sum + lots.reduce((all, { frames }) => all + frames.length, 0), 0);
	const warm = Math.floor(total * WARM_UP);
	let done = 0;
	let from = null;
	let finish = () => undefined;
	const finished = new Promise((resolve) => {
		finish = resolve;
	});
	const storedLeft = { count: ours ? plays.reduce((sum, { lots }) => sum + lots.length, 0) : 0 };
	const mayEnd = () => {
		if (done === total && storedLeft.count === 0) finish();
	};
	for (const play of plays) {
		play.onDone = () => {
			done += 1;
			if (done === warm) from = reading();
			play.pump();
			mayEnd();
		};
		play.onLotStored = () => {
			storedLeft.count -= 1;
			mayEnd();
		};
	}
	for (const play of plays) play.fill(windowOfRoom);
	await finished;
	const to = reading();
	const memoryMb = hosts.reduce((sum, host) => sum + host.memoryMb(), 0);
	for (const { sockets } of plays) for (const socket of sockets) socket.terminate();
	const updates = total - warm;
	const others = rooms[0].lots.length - 1;
	const tookS = to.atS - from.atS;
	const hostS = to.hostS - from.hostS;
	const ownS = to.ownS - from.ownS;
	return {
		updates,
		perSecond: updates / tookS,
		deliveries: updates * others,
		cpuUsPerUpdate: (hostS / updates) * 1e6,
		cpuUsPerDelivery: (hostS / (updates * others)) * 1e6,
		cpuUsPerDeliveryWithEcho: (hostS / (updates * (ours ? others : others + 1))) * 1e6,
		hostCores: hostS / tookS,
		generatorCores: ownS / tookS,
		otherCores: Math.max(0, to.busyS - from.busyS - hostS - ownS) / tookS,
		memoryMb,
	};

	function reading() {
		return {
			atS: performance.now() / 1_000,
			hostS: hosts.reduce((sum, host) => sum + host.cpuS(), 0),
			ownS: cpuSecondsOf(process.pid),
			busyS: machineBusyS(),
		};
	}
}

async function enterRoom(hosts, key, { record, lots }) {
	const others = lots.length - 1;
	const left = lots.map(({ frames }) => new Uint16Array(frames.length).fill(others));
	const next = lots.map(() => 0);
	let turn = 0;
	const play = {
		lots,
		sockets: [],
		onDone: () => undefined,
		onLotStored: () => undefined,
		/** Sends the next update of the next writer that has any left. */
		pump() {
			for (let tries = 0; tries < lots.length; tries++) {
				const writer = turn++ % lots.length;
				const frame = lots[writer].frames[next[writer]];
				if (frame === undefined) continue;
				next[writer] += 1;
				play.sockets[writer].send(frame);
				return;
			}
		},
		fill(count) {
			for (let n = 0; n < count; n++) play.pump();
		},
	};
	for (const [own, { chain, frames }] of lots.entries()) {
		let stored = false;
		play.sockets.push(
			await connect(hosts[own % hosts.length], record, key, {
				onDelivery(writer, index) {
					// the stock server sends an update back to whoever wrote it
					if (writer === own || left[writer] === undefined) return;
					left[writer][index] -= 1;
					if (left[writer][index] === 0) play.onDone();
				},
				onStored(of, seq) {
					if (stored || of !== chain || seq < frames.length) return;
					stored = true;
					play.onLotStored();
				},
			}),
		);
	}
	return play;
}
