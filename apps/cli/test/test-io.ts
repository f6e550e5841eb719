import { Readable } from 'node:stream';
import type { Io } from '../src/io.js';

/** Collects what a verb says, and feeds it what a test hands in as standard input. */
export function testIo(
	input: readonly (string | Uint8Array)[] = [],
	env: Io['env'] = {},
	stopped: Promise<void> = Promise.resolve(),
) {
	const said = { out: '', err: '' };
	const io: Io = {
		out: async (text) => {
			said.out += text;
		},
		err: async (text) => {
			said.err += text;
		},
		input: Readable.from(input.map((chunk) => Buffer.from(chunk as Uint8Array))),
		env,
		nowMs: () => 0,
		untilStopped: () => stopped,
	};
	return { io, said };
}
