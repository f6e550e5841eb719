import { fail, ok, type Result } from '@stillmast/core/result';
import { type Log, type Relay, startRelay } from '@stillmast/relay';
import { holdFolder } from '../data-folder/folder.js';
import { demoRecordOf } from '../data-folder/records.js';
import { refusalOf } from '../document/fault.js';
import { exitStatus, type Io } from '../io.js';
import { readArgs, UsageError, type Verb } from '../verb.js';
import { loadBoard } from './board.js';
import { type Demo, demoLinks, seedDemo } from './demo/seed.js';
import { type ServeSettings, serveSettings } from './settings.js';

const help = `usage: stillmast serve [--port N] [--host ADDRESS] [--data FOLDER] [--name HOST] [--demo] [--json] [--log]

Serves the board's pages and the sync of its records on one port, kept in one folder, until
it is stopped by Ctrl+C or a signal. Nothing outside this machine can reach it unless another
address is asked for.

  --port N        port (PORT of the environment, else 4300; 0 takes any free one)
  --host ADDRESS  address to listen on (HOST, else 127.0.0.1; 0.0.0.0 is every address)
  --data FOLDER   where records are kept (DATA, else the folder data here)
  --name HOST     the one name in invitations; tablets keep their data under it for ever
  --demo          puts the demo flight into an empty folder and prints a link for each role
  --json          one line of JSON when it is ready: { "url", "port", "demo" }
  --log           every request, not only warnings and errors, as JSON lines on standard error

Exit status: 0 stopped; 1 could not serve; 2 wrong usage.
`;

const flags = {
	port: { type: 'string' },
	host: { type: 'string' },
	data: { type: 'string' },
	name: { type: 'string' },
	demo: { type: 'boolean' },
	json: { type: 'boolean' },
	log: { type: 'boolean' },
} as const;

/** `stillmast serve`. */
export const serveVerb: Verb = {
	name: 'serve',
	summary: 'the board and its records on one port',
	help,
	run: async (args, io) => {
		const { values, positionals } = readArgs(args, flags);
		if (positionals.length > 0) throw new UsageError(`serve takes no file, found "${positionals[0]}"`);
		const settings = serveSettings(values, io.env);
		const serving = await startServing(settings, logTo(io, values.log === true), values.demo === true);
		if (!serving.ok) {
			await io.err(`stillmast serve: ${refusalOf(serving.problem).words}\n`);
			return exitStatus.notInOrder;
		}
		const { relay, demo, stop } = serving.value;
		await io.out(
			values.json === true
				? `${JSON.stringify({ url: relay.url, port: relay.port, demo })}\n`
				: readyForPeople(settings, relay, demo),
		);
		await io.untilStopped();
		await stop();
		return exitStatus.fine;
	},
};

interface Serving {
	readonly relay: Relay;
	readonly demo: Demo | null;
	readonly stop: () => Promise<void>;
}

async function startServing(settings: ServeSettings, log: Log, withDemo: boolean): Promise<Result<Serving>> {
	const { port, host, dataDir, name } = settings;
	const board = await loadBoard(`http://${name ?? `${host}:${port}`}`);
	if (!board.ok) return board;
	const held = await holdFolder(dataDir);
	if (!held.ok) return held;
	const { store, release } = held.value;
	let relay: Relay;
	try {
		relay = await startRelay({
			port,
			host,
			dataDir,
			...(name === undefined ? {} : { name }),
			board: board.value,
			store,
			log,
		});
	} catch (error) {
		await store.close();
		await release();
		return fail(listenProblem(error, settings));
	}
	const stop = async () => {
		await relay.stop();
		await release();
	};
	if (!withDemo) return ok({ relay, demo: null, stop });
	const seeded = await seedDemo(relay, store);
	if (!seeded.ok) {
		await stop();
		return seeded;
	}
	const record = seeded.value ?? (await demoRecordOf(store));
	return ok({ relay, demo: record === null ? null : await demoLinks(relay, record), stop });
}

function listenProblem(error: unknown, { port, host }: ServeSettings) {
	const code = (error as NodeJS.ErrnoException).code;
	if (code === 'EADDRINUSE')
		return { code: 'port-taken', found: `${host}:${port}`, needed: 'another --port, or stop what runs there' };
	if (code === 'EACCES') return { code: 'port-not-allowed', found: `${host}:${port}`, needed: 'a --port above 1023' };
	if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND') {
		return { code: 'not-an-address-here', found: host, needed: 'an address of this machine, named by --host' };
	}
	throw error;
}

/** Requests come by the hundred: only what needs a look is shown unless all was asked for. */
function logTo(io: Io, everything: boolean): Log {
	return (line) => {
		if (everything || line.level !== 'info')
			void io.err(`${JSON.stringify({ at: new Date().toISOString(), ...line })}\n`);
	};
}

function readyForPeople({ dataDir, reachableFromOutside }: ServeSettings, relay: Relay, demo: Demo | null): string {
	const reach = reachableFromOutside
		? 'Others on this network can reach it.'
		: 'Only this machine can reach it (--host changes that).';
	const lines = [`Stillmast is served at ${relay.url}`, `Records are kept in ${dataDir}. ${reach}`];
	if (demo !== null) {
		lines.push('', 'The demo flight, one link for each role (invented data; links are good for 24 hours):');
		for (const [role, url] of Object.entries(demo.links)) lines.push(`  ${role.padEnd(10)}  ${url}`);
	}
	return `${lines.join('\n')}\n\nStop with Ctrl+C.\n`;
}
