import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { FieldsOf, Kind } from '@stillmast/formats/entry';
import { referenceOf, type Scenario, type ScenarioDevice, type ScenarioEvent } from '@stillmast/formats/scenario';
import { exportRecord } from '../file/export-record.js';
import { fold } from '../fold/fold.js';
import { openKey, type PenKey, type Random, softwareKey } from '../pen/pen-key.js';
import { EntrySet } from '../set/entry-set.js';
import { toSign } from '../signing/to-sign.js';
import { type Circumstances, openRecord, type WriterOptions } from '../writer/chain-writer.js';
import { type PlayedDocuments, playedDocuments, type ScenarioDocuments } from './documents.js';
import { Fleet } from './fleet.js';

export interface PlayOptions {
	/** Keys, chains and the record's nonce come from it: the same bytes make the same record. */
	readonly random: Random;
	/** Time of the first entry, ms since 1970; the scenario's own unless stated. */
	readonly startMs?: number;
	/** A host that keeps the record: the opener enrols it first. */
	readonly hostPublicKey?: string;
	/** Somebody who takes the place of one of the crew, with a pen of their own. */
	readonly visitor?: { readonly key: PenKey; readonly name: string };
}

/** A scenario as it was played. */
export interface Played {
	/** The record as the device that opened it has it in the end. */
	readonly set: EntrySet;
	/** Card and type data, by hash. */
	readonly blobs: ReadonlyMap<string, Uint8Array>;
	/** How it stood at each look, by the look's name. */
	readonly looks: ReadonlyMap<string, EntrySet>;
	/** Hashes of the entries that have a name. */
	readonly named: ReadonlyMap<string, string>;
	/** Fingerprint of each device's key. */
	readonly keys: ReadonlyMap<string, string>;
	/** The record file of `set`. */
	readonly text: string;
}

/** A fault of the scenario's documents, or of one event (`$.events[12]`). */
export type PlayProblem = Problem & { readonly path?: string };

/** From the first entry to the last, in ms; for those who want a scenario to end now. */
export function lastsMs({ devices, events, entryEveryS }: Scenario): number {
	const writing = ['write', 'sign', 'lock-out', 'join'];
	const entries = devices.length + events.filter((event) => writing.includes(event.do)).length;
	const waitedS = events.reduce((sum, event) => sum + (event.do === 'wait' ? event.seconds : 0), 0);
	return 1000 * (entries * entryEveryS + waitedS);
}

/**
 * Plays a scenario: every entry is written by the same writer as on a device, with that device's pen and with what
 * that device knows. Nothing here makes an entry count; the fold judges it as any other.
 */
export async function playScenario(
	scenario: Scenario,
	documents: ScenarioDocuments,
	options: PlayOptions,
): Promise<Result<Played, PlayProblem>> {
	const read = playedDocuments(scenario, documents);
	if (!read.ok) return read;
	const stage = await Stage.open(scenario, read.value, options);
	if (!stage.ok) return stage;
	for (const [at, event] of scenario.events.entries()) {
		const problem = await stage.value.play(event);
		if (problem === null) continue;
		const within = problem.path?.startsWith('$') === true ? problem.path.slice(1) : '';
		return fail({ ...problem, path: `$.events[${at}]${event.do === 'write' ? '.fields' : ''}${within}` });
	}
	return ok(stage.value.played());
}

class Stage {
	readonly #scenario: Scenario;
	readonly #documents: PlayedDocuments;
	readonly #options: PlayOptions;
	readonly #looks = new Map<string, EntrySet>();
	readonly #named = new Map<string, string>();
	readonly #keys = new Map<string, PenKey>();
	readonly #startMs: number;
	#nowMs: number;
	#fleet: Fleet | null = null;

	private constructor(scenario: Scenario, documents: PlayedDocuments, options: PlayOptions) {
		this.#scenario = scenario;
		this.#documents = documents;
		this.#options = options;
		this.#startMs = options.startMs ?? Date.parse(scenario.startsAt);
		this.#nowMs = this.#startMs;
		for (const { id } of scenario.devices) {
			const own = id === scenario.visitor ? options.visitor?.key : undefined;
			this.#keys.set(id, own ?? openKey(softwareKey(options.random(32))));
		}
	}

	/** Opens the record on the first device and lets in the others that are there from the start. */
	static async open(
		scenario: Scenario,
		documents: PlayedDocuments,
		options: PlayOptions,
	): Promise<Result<Stage, PlayProblem>> {
		const stage = new Stage(scenario, documents, options);
		const [first, ...others] = scenario.devices as [ScenarioDevice, ...ScenarioDevice[]];
		const { purpose, aircraft } = scenario;
		const { card, typeData } = documents;
		const fields = { purpose, role: first.role, name: stage.#nameOf(first), aircraft, card, typeData };
		const opened = await openRecord(stage.#writerOptions(first), fields);
		if (!opened.ok) return opened;
		const { set, writer } = opened.value;
		stage.#fleet = new Fleet({ about: first, key: writer.key, set, writer });
		stage.#tick();
		const host = options.hostPublicKey;
		if (host !== undefined) {
			const enrolled = { publicKey: host, role: 'host', name: 'this host', invite: null } as const;
			const problem = await stage.#write(first.id, 'enrolled', enrolled);
			if (problem !== null) return fail(problem);
		}
		for (const device of others.filter(({ joinsLater }) => joinsLater !== true)) {
			const problem = await stage.#join(device, first.id);
			if (problem !== null) return fail(problem);
		}
		return ok(stage);
	}

	async play(event: ScenarioEvent): Promise<PlayProblem | null> {
		const fleet = this.#crew();
		switch (event.do) {
			case 'write':
				return this.#writeEvent(event);
			case 'sign':
				return this.#sign(event);
			case 'lock-out': {
				const key = this.#keyOf(event.device);
				const heads = this.#lastOf(event.by, key).map(({ hash }) => hash);
				return this.#write(event.by, 'revoked', { key, heads, reason: event.reason });
			}
			case 'join': {
				const device = this.#scenario.devices.find(({ id }) => id === event.device) as ScenarioDevice;
				return this.#join(device, event.by);
			}
			case 'connect':
				fleet.connect(event.groups);
				return null;
			case 'lose':
				fleet.lose(event.device);
				return null;
			case 'find':
				fleet.bring(event.device, event.near);
				return null;
			case 'wait':
				this.#nowMs += 1000 * event.seconds;
				return null;
			case 'look': {
				const { set } = fleet.get(event.at);
				this.#looks.set(event.as, new EntrySet(set.record, set.inOrder()));
				return null;
			}
		}
	}

	played(): Played {
		const { set } = this.#crew().get((this.#scenario.devices[0] as ScenarioDevice).id);
		const { blobs } = this.#documents;
		return {
			set,
			blobs,
			looks: this.#looks,
			named: this.#named,
			keys: new Map([...this.#keys].map(([id, key]) => [id, key.fingerprint])),
			text: exportRecord(set, (hash) => blobs.get(hash)).text,
		};
	}

	#crew(): Fleet {
		if (this.#fleet === null) throw new Error('the record is not opened yet');
		return this.#fleet;
	}

	async #join(device: ScenarioDevice, by: string): Promise<PlayProblem | null> {
		const options = this.#writerOptions(device);
		const { publicKey } = options.key;
		const { role } = device;
		const enrolled = { publicKey, role, name: this.#nameOf(device), invite: null };
		const problem = await this.#write(by, 'enrolled', enrolled);
		if (problem === null) this.#crew().join(device, options, by);
		return problem;
	}

	async #writeEvent(event: Extract<ScenarioEvent, { do: 'write' }>): Promise<PlayProblem | null> {
		const { by, kind, source, observedBeforeS, as } = event;
		const fields = this.#filledIn(event.fields) as FieldsOf<typeof kind>;
		const at = observedBeforeS === undefined ? null : new Date(this.#nowMs - 1000 * observedBeforeS).toISOString();
		return this.#write(
			by,
			kind,
			fields,
			{ ...(source && { source }), ...(at === null ? {} : { observed: { from: at, to: at } }) },
			as,
		);
	}

	async #sign(event: Extract<ScenarioEvent, { do: 'sign' }>): Promise<PlayProblem | null> {
		const { about, set } = this.#crew().get(event.by);
		const lost = (event.lost ?? []).map(({ device, reason }) => {
			const key = this.#keyOf(device);
			return { key, last: this.#lastOf(event.by, key).at(-1)?.hash ?? null, reason };
		});
		const covers = toSign(set, fold(set, { rules: this.#documents.rules }), lost);
		if (!covers.ok) return covers.problem;
		const { role } = about;
		if (role === 'support' || role === 'reviewer') {
			return { code: 'not-allowed', found: role, needed: 'pilot, engineer or instructor', path: '$.by' };
		}
		const { licence, statement } = event;
		return this.#write(event.by, 'signature', { ...covers.value, name: this.#nameOf(about), licence, role, statement });
	}

	async #write<K extends Kind>(
		by: string,
		kind: K,
		fields: FieldsOf<K>,
		circumstances: Circumstances = {},
		as?: string,
	): Promise<PlayProblem | null> {
		const written = await this.#crew().get(by).writer.write(kind, fields, circumstances);
		if (!written.ok) return written.problem;
		this.#crew().spread(by, written.value.hash);
		if (as !== undefined) this.#named.set(as, written.value.hash);
		this.#tick();
		return null;
	}

	/** References to entries and devices replaced by hashes and keys. */
	#filledIn(value: unknown): unknown {
		if (value === null || typeof value !== 'object') return value;
		if (Array.isArray(value)) return value.map((inner) => this.#filledIn(inner));
		const reference = referenceOf(value);
		if (reference?.what === 'hashOf') return this.#named.get(reference.name);
		if (reference?.what === 'keyOf') return this.#keyOf(reference.name);
		return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, this.#filledIn(inner)]));
	}

	/** Last entries of a key's chains, as a device has them, in total order. */
	#lastOf(at: string, key: string) {
		const { set } = this.#crew().get(at);
		return set.causality.latest(set.inOrder().filter(({ by }) => by === key));
	}

	#keyOf(device: string): string {
		return (this.#keys.get(device) as PenKey).fingerprint;
	}

	#nameOf({ id, name }: ScenarioDevice): string {
		return id === this.#scenario.visitor ? (this.#options.visitor?.name ?? name) : name;
	}

	#writerOptions({ id }: ScenarioDevice): WriterOptions {
		const clock = { nowMs: () => this.#nowMs, upMs: () => this.#nowMs - this.#startMs, clock: () => null };
		return { key: this.#keys.get(id) as PenKey, random: this.#options.random, clock, unlocked: 'by-code' };
	}

	#tick(): void {
		this.#nowMs += 1000 * this.#scenario.entryEveryS;
	}
}
