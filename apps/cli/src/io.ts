import type { Readable } from 'node:stream';

/** What a verb sees of the world: tests hand in their own. */
export interface Io {
	/** Resolves when the reader has taken it, so that a slow one holds a stream up instead of filling memory. */
	readonly out: (text: string) => Promise<void>;
	readonly err: (text: string) => Promise<void>;
	readonly input: Readable;
	readonly env: Readonly<Record<string, string | undefined>>;
	/** Milliseconds of a clock that never goes back; for time budgets only. */
	readonly nowMs: () => number;
	/** Resolves when the program is asked to stop; for verbs that run until then. */
	readonly untilStopped: () => Promise<void>;
}

/** Exit statuses of every verb; `stillmast help` states them. */
export const exitStatus = { fine: 0, notInOrder: 1, wrongInput: 2 } as const;
export type ExitStatus = (typeof exitStatus)[keyof typeof exitStatus];

/** The process's own streams. A reader that has gone away (`| head`) ends the output, not the program. */
export function processIo(): Io {
	return {
		out: writer(process.stdout),
		err: writer(process.stderr),
		input: process.stdin,
		env: process.env,
		nowMs: () => performance.now(),
		untilStopped: () =>
			new Promise((resolve) => {
				for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve());
			}),
	};
}

function writer(stream: NodeJS.WriteStream): (text: string) => Promise<void> {
	stream.on('error', (error: NodeJS.ErrnoException) => {
		if (error.code !== 'EPIPE') throw error;
	});
	return (text) => new Promise((resolve) => stream.write(text, () => resolve()));
}
