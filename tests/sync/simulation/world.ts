import { type ChainWriter, openRecord } from '@stillmast/record';
import { adoptEntries } from '@stillmast/relay/rooms';
import { Dice, SimulatedClock } from './clock.js';
import { SimulatedHost } from './host.js';
import { SimulatedTablet } from './tablet.js';

/** One record at one host, and the devices of its crew. */
export interface World {
	readonly clock: SimulatedClock;
	readonly dice: Dice;
	readonly host: SimulatedHost;
	readonly record: string;
	readonly tablets: readonly SimulatedTablet[];
}

const NO_BLOB = 'A'.repeat(43);

/** Builds a world from its seed; the host has the record, the devices have nothing yet. */
export async function worldOf(seed: number, tabletCount: number): Promise<World> {
	const clock = new SimulatedClock();
	const dice = new Dice(seed);
	const host = new SimulatedHost(clock, dice);
	const tablets = Array.from({ length: tabletCount }, (_, n) => new SimulatedTablet(`tablet ${n}`, clock, dice, host));
	const port = clock.port();
	const creator = {
		key: (tablets[0] as SimulatedTablet).key,
		random: (length: number) => dice.bytes(length),
		clock: { nowMs: port.nowMs, upMs: port.monotonicMs, clock: () => null },
		unlocked: 'by-code' as const,
	};
	const opened = await openRecord(creator, {
		purpose: 'demo',
		role: 'engineer',
		name: 'tablet 0',
		aircraft: { registration: 'ZZ-SIM', type: 'Ouzel 3', serial: `invented ${seed}` },
		card: NO_BLOB,
		typeData: NO_BLOB,
	});
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	const { set, writer } = opened.value;
	await enrol(writer, host.key.publicKey, 'host', 'host');
	for (const [n, tablet] of tablets.entries()) {
		if (n > 0) await enrol(writer, tablet.key.publicKey, n % 2 === 0 ? 'engineer' : 'pilot', tablet.name);
	}
	const adopted = adoptEntries(host.start(), set.record, [...set.inOrder()]);
	await clock.pass(1_000);
	const problem = await adopted;
	if (problem) throw new Error(problem.code);
	return { clock, dice, host, record: set.record, tablets };
}

async function enrol(writer: ChainWriter, publicKey: string, role: 'host' | 'engineer' | 'pilot', name: string) {
	const written = await writer.write('enrolled', { publicKey, role, name, invite: null });
	if (!written.ok) throw new Error(JSON.stringify(written.problem));
}
