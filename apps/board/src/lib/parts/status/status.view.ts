import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';

/** How this device stands with the others. Times are UTC with Z. */
export type Connection =
	| { readonly state: 'opening' }
	/** `because`: why the host does not have it, and what to do; absent where no host was asked. */
	| { readonly state: 'alone'; readonly because?: string }
	| { readonly state: 'together'; readonly waitingCount: number }
	| { readonly state: 'away'; readonly hostLast: string | null; readonly waitingCount: number }
	| { readonly state: 'refused'; readonly reason: string };

/** The pieces of the status line, first to last. */
export function statusWords(connection: Connection): readonly string[] {
	switch (connection.state) {
		case 'opening':
			return [english.status.opening];
		case 'alone':
			return [english.status.alone, ...(connection.because === undefined ? [] : [connection.because])];
		case 'together':
			return [english.status.together, ...waitingWords(connection.waitingCount)];
		case 'away':
			return [
				...(connection.hostLast === null
					? [english.status.alone]
					: [english.status.kept, fill(english.status.hostLast, { time: connection.hostLast })]),
				...waitingWords(connection.waitingCount),
			];
		case 'refused':
			return [english.status.kept, fill(english.status.refused, { reason: connection.reason })];
	}
}

function waitingWords(count: number): readonly string[] {
	if (count === 0) return [];
	return [count === 1 ? english.status.waitingOne : fill(english.status.waiting, { count: String(count) })];
}
