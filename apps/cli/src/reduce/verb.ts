import { createReadStream } from 'node:fs';
import { fail, type Problem, type Result } from '@stillmast/core/result';
import type { OrdersAnswer } from '@stillmast/core/vibration';
import {
	readSignalSetup,
	recordingKindOf,
	reduceRecording,
	type SignalSetupDocument,
} from '@stillmast/formats/signals';
import { refusalOf } from '../document/fault.js';
import { parseDocument, readFileBytes } from '../document/read-file.js';
import { exitStatus, type Io } from '../io.js';
import { onlyFile, readArgs, UsageError, type Verb } from '../verb.js';
import { ordersForPeople } from './people.js';

const help = `usage: stillmast reduce RECORDING --setup SETUP [--json]

Reduces a recording (CSV, .wav, .uff) to amplitude and phase of each channel and order, ips peak and degrees of lag.
The recording is read as a stream, however long; - is standard input, read as CSV. SETUP (stillmast/signals@1) says
what the columns hold.

  --json  the answer as JSON (stillmast/orders@1) and nothing else

Exit status: 0 reduced; 2 wrong document, recording or usage.
`;

const options = { setup: { type: 'string' }, json: { type: 'boolean' } } as const;

export const reduceVerb: Verb = {
	name: 'reduce',
	summary: 'vibration recordings to amplitude and phase per channel and order',
	help,
	run: async (args, io) => {
		const { values, positionals } = readArgs(args, options);
		const file = onlyFile(positionals, 'RECORDING');
		if (values.setup === undefined) throw new UsageError('--setup is missing');
		const setup = await setupFrom(values.setup);
		const answer = setup.ok ? await reduced(file, setup.value, io) : setup;
		if (!answer.ok) {
			const refusal = refusalOf(answer.problem);
			if (values.json === true) await io.out(`${JSON.stringify({ error: refusal })}\n`);
			await io.err(`stillmast reduce: ${setup.ok ? file : values.setup}: ${refusal.words}\n`);
			return exitStatus.wrongInput;
		}
		await io.out(values.json === true ? `${JSON.stringify(answer.value, null, 2)}\n` : ordersForPeople(answer.value));
		return exitStatus.fine;
	},
};

async function setupFrom(file: string): Promise<Result<SignalSetupDocument>> {
	const bytes = await readFileBytes(file);
	if (!bytes.ok) return bytes;
	const parsed = parseDocument(bytes.value);
	return parsed.ok ? readSignalSetup(parsed.value) : parsed;
}

async function reduced(file: string, setup: SignalSetupDocument, io: Io): Promise<Result<OrdersAnswer, Problem>> {
	try {
		if (file === '-') return await reduceRecording('csv', setup, io.input);
		return await reduceRecording(recordingKindOf(file), setup, createReadStream(file));
	} catch (error) {
		const code = (error as NodeJS.ErrnoException).code;
		if (code === undefined) throw error;
		return fail({ code: code === 'ENOENT' ? 'no-file' : 'unreadable', found: `${file} (${code})` });
	}
}
