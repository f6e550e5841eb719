import type { ViewKey } from '$lib/keys/key-list.js';
import { keys } from '$lib/words/keys.js';
import type { Bench } from './bench.svelte.js';

/** What single keys do at a rotor: try, and go through its regimes. */
export function benchKeys(bench: Bench): readonly ViewKey[] {
	return [
		{ key: 't', says: keys.workshop.tryOwn, does: () => (bench.isTrying ? bench.stopTrying() : bench.tryOwn()) },
		{ key: 'e', says: keys.workshop.earlier, does: () => move(bench, -1) },
		{ key: 'l', says: keys.workshop.later, does: () => move(bench, 1) },
	];
}

function move(bench: Bench, by: 1 | -1): void {
	const { channels } = bench.rotor;
	const at = channels.findIndex(({ id }) => id === bench.sheet?.id);
	const next = channels[at + by];
	if (next !== undefined) bench.sheetId = next.id;
}
