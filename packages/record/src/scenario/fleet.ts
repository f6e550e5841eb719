import type { Entry } from '@stillmast/formats/entry';
import type { ScenarioDevice } from '@stillmast/formats/scenario';
import type { PenKey } from '../pen/pen-key.js';
import { EntrySet } from '../set/entry-set.js';
import { ChainWriter, type WriterOptions } from '../writer/chain-writer.js';

/** One device of a scenario with the record as it has it, and its pen. */
export interface FleetDevice {
	readonly about: ScenarioDevice;
	readonly key: PenKey;
	readonly set: EntrySet;
	readonly writer: ChainWriter;
}

/**
 * The devices of a scenario and who hears whom. What one writes the others of its group have at once; when groups
 * change, each group puts together what its members have. A device that is gone hears nobody.
 */
export class Fleet {
	readonly #devices = new Map<string, FleetDevice>();
	#groups: readonly ReadonlySet<string>[] = [];

	/** @param opener the device that opened the record: its set has the first entry, its writer goes on from there */
	constructor(opener: FleetDevice) {
		this.#devices.set(opener.about.id, opener);
		this.#groups = [new Set([opener.about.id])];
	}

	/** @throws when no such device has joined: `readScenario` has looked at names */
	get(id: string): FleetDevice {
		const device = this.#devices.get(id);
		if (device === undefined) throw new Error(`no device ${id} has joined`);
		return device;
	}

	/** A device joins by another: it is in that one's group and has what that group has. */
	join(about: ScenarioDevice, options: WriterOptions, by: string): void {
		const set = new EntrySet(this.get(by).set.record);
		this.#devices.set(about.id, { about, key: options.key, set, writer: new ChainWriter(set, options) });
		this.bring(about.id, by);
	}

	/** Hands on what a device has just written. */
	spread(by: string, hash: string): void {
		const entry = this.get(by).set.get(hash) as Entry;
		for (const id of this.#groupOf(by)) this.get(id).set.add(entry);
	}

	/** Who hears whom from now on; whom no group names is alone. A device that has not joined yet is passed over. */
	connect(groups: readonly (readonly string[])[]): void {
		this.#groups = groups.map((group) => new Set(group.filter((id) => this.#devices.has(id))));
		for (const group of this.#groups) this.#putTogether(group);
	}

	/** It hears nobody from now on. */
	lose(id: string): void {
		this.#groups = this.#groups.map((group) => new Set([...group].filter((one) => one !== id)));
	}

	/** Puts a device into another one's group. */
	bring(id: string, near: string): void {
		this.lose(id);
		const group = new Set([...this.#groupOf(near), id]);
		this.#groups = [...this.#groups.filter((one) => !one.has(near)), group];
		this.#putTogether(group);
	}

	#groupOf(id: string): ReadonlySet<string> {
		return this.#groups.find((group) => group.has(id)) ?? new Set([id]);
	}

	#putTogether(group: ReadonlySet<string>): void {
		const all = [...group].flatMap((id) => this.get(id).set.inOrder());
		for (const id of group) {
			for (const entry of all) this.get(id).set.add(entry);
		}
	}
}
