import type { Entry } from '@stillmast/formats/entry';
import type { Mischief, Way } from './network.js';
import { NO_MISCHIEF } from './network.js';
import type { Page, SimulatedTablet } from './tablet.js';
import type { World } from './world.js';
import { writeSomething } from './writing.js';

/** What a run has promised so far: to be held against what is left at its end. */
export interface Promises {
	/** Every entry that was ever written, by hash. */
	readonly written: Map<string, Entry>;
	/** Said to be on a device: must be there when the device is opened again. */
	readonly kept: Map<SimulatedTablet, Set<string>>;
	/** Said to be stored at the host. */
	readonly stored: Set<string>;
	/** Written by a page that died before either was said: may be gone. */
	readonly mayBeLost: Set<string>;
	/** Broken while the run was on. */
	readonly faults: string[];
	/** How often each kind of trouble happened. */
	readonly troubles: Map<string, number>;
}

export interface StoryOptions {
	readonly operations: number;
	/** Faults that no real socket has, on top of those that it has. */
	readonly mischief: boolean;
}

/** Plays a run: operations of the crews and of fate, in an order that the seed decides. */
export async function play(world: World, { operations, mischief }: StoryOptions): Promise<Promises> {
	const { clock, dice, host, record, tablets } = world;
	const promises: Promises = {
		written: new Map(),
		kept: new Map(tablets.map((tablet) => [tablet, new Set()])),
		stored: new Set(),
		mayBeLost: new Set(),
		faults: [],
		troubles: new Map(),
	};
	const opening = new Set<SimulatedTablet>();
	const damaged = new Set<string>();
	const note = (trouble: string) => promises.troubles.set(trouble, (promises.troubles.get(trouble) ?? 0) + 1);

	const open = async (tablet: SimulatedTablet) => {
		if (opening.has(tablet) || tablet.diskState !== 'sound') return;
		opening.add(tablet);
		const page = await tablet.open(record);
		opening.delete(tablet);
		for (const hash of promises.kept.get(tablet) ?? []) {
			if (page.session.entries.has(hash) || damaged.has(`${tablet.name} ${hash}`)) continue;
			promises.faults.push(`${tablet.name}: kept, and not on its disk: ${hash}`);
		}
	};

	/** What the page has said so far is a promise; what it hasn't may die with it. */
	const listen = (tablet: SimulatedTablet, page: Page) => {
		for (const hash of promises.written.keys()) {
			if (promises.stored.has(hash) && promises.kept.get(tablet)?.has(hash)) continue;
			const place = page.session.placeOf(hash);
			if (!place) continue;
			if (place.device === 'on-this-device') {
				promises.kept.get(tablet)?.add(hash);
				const row = tablet.disk.entries.get(`${record}/${hash}`);
				if (!row && !damaged.has(`${tablet.name} ${hash}`)) promises.faults.push(`said to be kept, is not: ${hash}`);
			}
			if (place.host) {
				promises.stored.add(hash);
				if (!host.disk.entries.has(hash)) promises.faults.push(`said to be stored, is not: ${hash}`);
			}
		}
	};
	const listenToAll = () => {
		for (const tablet of tablets) for (const page of tablet.pages) listen(tablet, page);
	};

	const kill = (tablet: SimulatedTablet, page: Page) => {
		listen(tablet, page);
		for (const [hash, entry] of promises.written) {
			if (entry.by === tablet.key.fingerprint && !promises.kept.get(tablet)?.has(hash)) promises.mayBeLost.add(hash);
		}
		page.kill();
		clock.after(dice.between(10, 8_000), () => void open(tablet));
		note('page killed');
	};

	const fates: readonly [weight: number, name: string, work: () => void][] = [
		[6, 'way', () => changeWay(tabletAtRandom())],
		[3, 'page killed', () => withPage((tablet, page) => kill(tablet, page))],
		[1, 'second tab', () => void openSecond(tabletAtRandom())],
		[1, 'host crash', () => crashHost()],
		[2, 'commit fails', () => host.failCommit(dice.between(1, 12))],
		[1, 'host slow', () => slowHost()],
		[2, 'disk trouble', () => troubleDisk(tabletAtRandom())],
		[1, 'row damaged', () => damageRow(tabletAtRandom())],
		[2, 'cut', () => tabletAtRandom().way.cut()],
	];
	const fateWeights = fates.reduce((sum, [weight]) => sum + weight, 0);

	for (const tablet of tablets) void open(tablet);
	await clock.pass(2_000);
	for (let done = 0; done < operations; done++) {
		if (dice.chance(0.85)) await write();
		else fate();
		await clock.pass(dice.chance(0.1) ? dice.between(500, 6_000) : dice.between(0, 120));
		if (done % 8 === 0) listenToAll();
	}
	if (mischief) await whisper();
	listenToAll();
	return promises;

	/** Nobody is cut off and half of what is said gets lost: only asking and sending again can mend that. */
	async function whisper(): Promise<void> {
		for (const tablet of tablets) {
			tablet.way.set('up');
			tablet.way.mischief = { drop: 0.5, double: 0.1, reorder: 0.1 };
		}
		for (let done = 0; done < 30; done++) {
			await write();
			await clock.pass(dice.between(0, 60));
		}
		for (const tablet of tablets) tablet.way.mischief = NO_MISCHIEF;
	}

	function tabletAtRandom(): SimulatedTablet {
		return dice.pick(tablets);
	}

	function withPage(work: (tablet: SimulatedTablet, page: Page) => void): void {
		const tablet = tabletAtRandom();
		if (tablet.pages.length > 0) work(tablet, dice.pick(tablet.pages));
	}

	async function write(): Promise<void> {
		const tablet = tabletAtRandom();
		if (tablet.pages.length === 0) return;
		const page = dice.pick(tablet.pages);
		const entry = await writeSomething(page.session, dice, `#${promises.written.size}`);
		promises.written.set(entry.hash, entry);
	}

	function fate(): void {
		let left = dice.between(1, fateWeights);
		for (const [weight, name, work] of fates) {
			left -= weight;
			if (left > 0) continue;
			note(name);
			work();
			return;
		}
	}

	function changeWay(tablet: SimulatedTablet): void {
		const way: Way = dice.pick(['down', 'stalled', 'up', 'up'] as const);
		tablet.way.set(way);
		tablet.way.mischief = mischief && way === 'up' && dice.chance(0.5) ? someMischief() : NO_MISCHIEF;
		if (dice.chance(0.5)) tablet.hint();
		// a whole flight, or a dead spot in the hangar
		if (way !== 'up') clock.after(dice.chance(0.2) ? 60_000 : dice.between(50, 15_000), () => tablet.way.set('up'));
	}

	function someMischief(): Mischief {
		return { drop: 0.03, double: 0.05, reorder: 0.05 };
	}

	async function openSecond(tablet: SimulatedTablet): Promise<void> {
		if (tablet.pages.length > 1) (tablet.pages[1] as Page).session.settled().then(() => closeSecond(tablet));
		else await open(tablet);
	}

	function closeSecond(tablet: SimulatedTablet): void {
		const second = tablet.pages[1];
		if (second) kill(tablet, second);
	}

	function crashHost(): void {
		if (!host.hall) return;
		listenToAll();
		host.crash();
		clock.after(dice.between(100, 10_000), () => host.start());
	}

	function slowHost(): void {
		host.slowMs = 2_000;
		clock.after(dice.between(1_000, 15_000), () => {
			host.slowMs = 4;
		});
	}

	function troubleDisk(tablet: SimulatedTablet): void {
		tablet.setDisk(dice.pick(['failing', 'failing', 'silent']));
		clock.after(dice.between(500, 20_000), () => tablet.setDisk('sound'));
	}

	/** A bit of a row flips. Only of what the host has: nobody could bring the others back. */
	function damageRow(tablet: SimulatedTablet): void {
		const rows = [...tablet.disk.entries.values()].filter((row) => host.disk.entries.has(row.hash));
		if (rows.length === 0) return;
		const row = dice.pick(rows);
		row.bytes[dice.between(0, row.bytes.length - 1)]! ^= 1 << dice.between(0, 7);
		damaged.add(`${tablet.name} ${row.hash}`);
	}
}

/** Mends everything, opens a page on every device, and lets time pass until nothing moves any more. */
export async function heal(world: World): Promise<number> {
	const { clock, host, record, tablets } = world;
	host.slowMs = 4;
	host.failCommit(Number.POSITIVE_INFINITY);
	// whatever was planned to go wrong or to get better by itself has done so by then
	await clock.pass(61_000);
	if (!host.hall) host.start();
	for (const tablet of tablets) {
		tablet.setDisk('sound');
		tablet.way.mischief = NO_MISCHIEF;
		tablet.way.set('up');
	}
	for (const tablet of tablets) {
		if (tablet.pages.length > 0) continue;
		void tablet.open(record);
	}
	const begun = clock.now;
	for (let waited = 0; waited < 180_000; waited += 500) {
		await clock.pass(500);
		if (notLevel(world).length === 0) return clock.now - begun;
	}
	return Number.POSITIVE_INFINITY;
}

/** Pages that are not level with the host, in the words of their status. */
export function notLevel({ host, tablets }: World): string[] {
	return tablets.flatMap(({ name, pages }) =>
		pages.flatMap(({ session }) => {
			const { synced, counts, link, problems } = session.status;
			const { entries, notAtHost, lacking, beingKept, notOnThisDevice } = counts;
			const level =
				synced && notAtHost + lacking + beingKept + notOnThisDevice === 0 && entries === host.disk.entries.size;
			return level
				? []
				: [`${name} ${JSON.stringify({ synced, ...counts, atHost: host.disk.entries.size, link, problems })}`];
		}),
	);
}
