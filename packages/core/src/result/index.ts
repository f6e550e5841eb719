/** Outcome of a computation that data or crew can make fail. Throwing is kept for programmer error. */
export type Result<T, P extends Problem = Problem> =
	| { readonly ok: true; readonly value: T }
	| { readonly ok: false; readonly problem: P };

/** What was found, what was needed; `code` is kebab-case and stable, sentences belong to the screen. */
export interface Problem {
	readonly code: string;
	readonly found?: unknown;
	readonly needed?: unknown;
	/** Where in the input, as a JSON path (`$.runs[1].readings`). */
	readonly path?: string;
}

export function ok<T>(value: T): { readonly ok: true; readonly value: T } {
	return { ok: true, value };
}

export function fail<P extends Problem>(problem: P): { readonly ok: false; readonly problem: P } {
	return { ok: false, problem };
}
