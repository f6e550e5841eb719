import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';

/**
 * Who is here, in the form of the awareness protocol of y-protocols. It is decoration, never evidence: kept in memory
 * only, one client id for each connection, and what a connection says of other ids is passed over. (A stock client
 * repeats what it heard of others.)
 */
export interface Presence {
	/**
	 * Takes an awareness update of one connection; returns the update to pass on to everybody, the sender included, or
	 * null when there is nothing new in it. A stock client takes a socket on which it hears nothing of itself for dead.
	 * @param owner fingerprint of the key behind the connection: a device that comes back takes its client id along,
	 * even while its earlier, broken socket is not known to be gone
	 */
	hear(connection: object, owner: string, update: Uint8Array): Uint8Array | null;
	/** Forgets a connection; returns the update that says so, null when it never spoke. */
	leave(connection: object): Uint8Array | null;
	/** Everybody who is here, an update for each: together they may be more than a device takes in one message. */
	all(): readonly Uint8Array[];
}

interface Present {
	readonly owner: string;
	readonly state: State;
}

interface State {
	readonly client: number;
	readonly clock: number;
	/** JSON text of the state; `null` once it has left. */
	readonly json: string;
}

const GONE = 'null';

export function createPresence(): Presence {
	const byConnection = new Map<object, Present>();

	/** Of the states said, the connection's own: the id it has, else the first that nobody else has. */
	function ownState(connection: object, owner: string, states: readonly State[]): State | null {
		const known = byConnection.get(connection);
		if (known) return states.find((state) => state.client === known.state.client) ?? null;
		const taken = new Set<number>();
		for (const present of byConnection.values()) if (present.owner !== owner) taken.add(present.state.client);
		return states.find((state) => !taken.has(state.client) && state.json !== GONE) ?? null;
	}

	return {
		hear(connection, owner, update) {
			const state = ownState(connection, owner, readStates(update));
			if (!state) return null;
			const known = byConnection.get(connection);
			// The same clock comes again when a stock client repeats itself to show that it is still there.
			if (known && state.clock < known.state.clock) return null;
			for (const [other, present] of byConnection) {
				if (other !== connection && present.state.client === state.client) byConnection.delete(other);
			}
			byConnection.set(connection, { owner, state });
			return writeStates([state]);
		},
		leave(connection) {
			const present = byConnection.get(connection);
			byConnection.delete(connection);
			// The clock stays: a device that comes back goes on from it and must not look outdated.
			return present ? writeStates([{ ...present.state, json: GONE }]) : null;
		},
		all() {
			return [...byConnection.values()].map(({ state }) => writeStates([state]));
		},
	};
}

/** Strict reading; an update that is none, or whose states are not JSON objects, holds no states. */
function readStates(update: Uint8Array): State[] {
	try {
		const input = decoding.createDecoder(update);
		const count = decoding.readVarUint(input);
		const states: State[] = [];
		for (let index = 0; index < count; index++) {
			const client = decoding.readVarUint(input);
			const clock = decoding.readVarUint(input);
			const json = decoding.readVarString(input);
			// Others parse this without a guard of their own.
			if (typeof JSON.parse(json) !== 'object') return [];
			states.push({ client, clock, json });
		}
		return states;
	} catch {
		return [];
	}
}

function writeStates(states: readonly State[]): Uint8Array {
	const out = encoding.createEncoder();
	encoding.writeVarUint(out, states.length);
	for (const { client, clock, json } of states) {
		encoding.writeVarUint(out, client);
		encoding.writeVarUint(out, clock);
		encoding.writeVarString(out, json);
	}
	return encoding.toUint8Array(out);
}
