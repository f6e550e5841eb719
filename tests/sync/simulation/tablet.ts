import type { EntrySet } from '@stillmast/record';
import { type Cancel, type DevicePort, openSession, type Session, type TabsPort } from '@stillmast/record/client';
import { type MemoryDisk, memoryDisk, memoryStore } from '@stillmast/record/client/memory';
import { openKey, type PenKey } from '@stillmast/record/pen';
import type { Dice, SimulatedClock } from './clock.js';
import type { SimulatedHost } from './host.js';
import { DeviceWay } from './network.js';
import { keyOf } from './signatures.js';

/** A page that is open, and all that dies with it. */
export interface Page {
	readonly session: Session;
	readonly kill: () => void;
	readonly alive: () => boolean;
}

/** A device: its disk and its way to the host outlive its pages. */
export class SimulatedTablet {
	readonly name: string;
	readonly key: PenKey;
	readonly way: DeviceWay;
	readonly disk: MemoryDisk = memoryDisk();
	readonly pages: Page[] = [];
	readonly #clock: SimulatedClock;
	readonly #dice: Dice;
	readonly #channels = new Set<(message: unknown) => void>();
	readonly #deviceListeners = new Set<() => void>();
	/** Wrong by hours, as device clocks are. */
	readonly #skewMs: number;
	#diskState: 'sound' | 'failing' | 'silent' = 'sound';
	#stalled: (() => void)[] = [];

	constructor(name: string, clock: SimulatedClock, dice: Dice, host: SimulatedHost) {
		this.name = name;
		this.#clock = clock;
		this.#dice = dice;
		this.key = openKey(keyOf(dice.bytes(32)));
		this.way = new DeviceWay(clock, dice, host);
		this.#skewMs = dice.between(-7_200_000, 7_200_000);
	}

	get diskState(): 'sound' | 'failing' | 'silent' {
		return this.#diskState;
	}

	/** A silent disk answers nothing until it is sound again; then it goes on with what it was asked. */
	setDisk(state: 'sound' | 'failing' | 'silent'): void {
		this.#diskState = state;
		if (state === 'silent') return;
		for (const goOn of this.#stalled.splice(0)) goOn();
	}

	/** Tells the pages what the device thinks of its network; sometimes it doesn't. */
	hint(): void {
		for (const listener of [...this.#deviceListeners]) listener();
	}

	async open(record: string): Promise<Page> {
		let living = true;
		const alive = () => living;
		/** What would keep a dead page in memory. */
		const ends: Cancel[] = [];
		const session = await openSession(
			{
				clock: this.#clock.port(alive, this.#skewMs),
				random: (length) => this.#dice.bytes(length),
				device: this.#device(ends),
				store: memoryStore(this.disk, {
					failing: (mode) =>
						this.diskState === 'failing' && mode === 'readwrite' ? { code: 'store-failed' as const } : null,
					settle: () => this.#settle(alive),
				}),
				network: this.way.port(alive),
				tabs: () => this.#channel(alive, ends),
				build: 'simulated',
			},
			record,
			{ key: this.key, unlocked: 'by-code' },
		);
		const page: Page = {
			session,
			alive,
			kill: () => {
				living = false;
				for (const end of ends) end();
				this.way.cut();
				this.pages.splice(this.pages.indexOf(page), 1);
			},
		};
		this.pages.push(page);
		return page;
	}

	/** The set of a page that is open. */
	get entries(): EntrySet | undefined {
		return this.pages[0]?.session.entries;
	}

	/** A transaction takes its time; one under way when the page dies is not on the disk. */
	async #settle(alive: () => boolean): Promise<void> {
		if (this.diskState === 'silent') await new Promise<void>((goOn) => this.#stalled.push(goOn));
		return new Promise((resolve) => void this.#clock.after(this.#dice.between(0, 15), () => alive() && resolve()));
	}

	#device(ends: Cancel[]): DevicePort {
		return {
			online: () => this.way.state !== 'down',
			visible: () => true,
			onChange: (listener) => {
				this.#deviceListeners.add(listener);
				const end = () => void this.#deviceListeners.delete(listener);
				ends.push(end);
				return end;
			},
		};
	}

	#channel(alive: () => boolean, ends: Cancel[]): TabsPort {
		let own: ((message: unknown) => void) | null = null;
		return {
			post: (message) => {
				for (const channel of this.#channels) {
					if (channel !== own) this.#clock.after(this.#dice.between(0, 4), () => channel(message));
				}
			},
			onMessage: (listener) => {
				own = (message) => alive() && listener(message);
				this.#channels.add(own);
				const end = () => void (own && this.#channels.delete(own));
				ends.push(end);
				return end;
			},
			close: () => void (own && this.#channels.delete(own)),
		};
	}
}
