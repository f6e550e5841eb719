import type { Cancel } from './ports.js';

/** Those who want to hear of changes. */
export interface Listeners<T> {
	readonly add: (listener: (told: T) => void) => Cancel;
	/** One that throws is reported as the page's own error and keeps neither the others nor the session from going on. */
	readonly tell: (told: T) => void;
	readonly clear: () => void;
}

export function listeners<T>(): Listeners<T> {
	const all = new Set<(told: T) => void>();
	return {
		add: (listener) => {
			// the same function twice is two listeners, each ended on its own
			const own = (told: T) => listener(told);
			all.add(own);
			return () => void all.delete(own);
		},
		tell: (told) => {
			for (const listener of [...all]) {
				try {
					listener(told);
				} catch (error) {
					// where the platform can, it is told like any uncaught error; older ones have the console
					(globalThis.reportError ?? console.error)(error);
				}
			}
		},
		clear: () => all.clear(),
	};
}
