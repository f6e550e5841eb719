import { fail, ok, type Result } from '@stillmast/core/result';
import { type JoinNews, type Log, type Relay, startRelay } from '@stillmast/relay';
import { holdFolder } from '../data-folder/folder.js';
import { demoRecordOf } from '../data-folder/records.js';
import { refusalOf } from '../document/fault.js';
import { exitStatus, type Io } from '../io.js';
import { readArgs, UsageError, type Verb } from '../verb.js';
import { loadBoard } from './board.js';
import { demoLinks, seedDemo } from './demo/seed.js';
import { joinedForPeople, readyForPeople, type Serving } from './people.js';
import { type ServeSettings, serveSettings } from './settings.js';
import { openTrust } from './trust.js';

const help = `usage: stillmast serve [--port N] [--host ADDRESS] [--data FOLDER] [--name HOST]
                       [--make-ca | --cert FILE --cert-key FILE] [--demo] [--json] [--log]

Serves the board's pages and the sync of its records on one port, kept in one folder, until
it is stopped by Ctrl+C or a signal. Nothing outside this machine can reach it unless another
address is asked for.

  --port N        port (PORT of the environment, else 4300; 0 takes any free one)
  --host ADDRESS  address to listen on (HOST, else 127.0.0.1; 0.0.0.0 is every address)
  --data FOLDER   where records are kept (DATA, else the folder data here)
  --name HOST     the one name in invitations; tablets keep their data under it for ever
  --make-ca       makes an authority of this host's own, kept in FOLDER/authority, and serves
                  https with it; the page /trust lets tablets take it in and prove it
  --cert FILE     certificate with its chain, PEM; --cert-key FILE is its key
  --demo          puts the demo flight into an empty folder and prints a link for each role
  --json          one line of JSON when it is ready: { "url", "port", "demo", "welcome", "authority" }
  --log           every request, not only warnings and errors, as JSON lines on standard error

Exit status: 0 stopped; 1 could not serve; 2 wrong usage.
`;

const flags = {
	port: { type: 'string' },
	host: { type: 'string' },
	data: { type: 'string' },
	name: { type: 'string' },
	'make-ca': { type: 'boolean' },
	cert: { type: 'string' },
	'cert-key': { type: 'string' },
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
		const asJson = values.json === true;
		const onJoined = asJson ? undefined : (joined: JoinNews) => void io.out(joinedForPeople(joined));
		const serving = await startServing(settings, logTo(io, values.log === true), values.demo === true, onJoined);
		if (!serving.ok) {
			await io.err(`stillmast serve: ${refusalOf(serving.problem).words}\n`);
			return exitStatus.notInOrder;
		}
		const { relay, demo, authority, stop } = serving.value;
		const welcome = demo === null ? relay.welcome : null;
		await io.out(
			asJson
				? `${JSON.stringify({
						url: relay.url,
						port: relay.port,
						demo,
						welcome: welcome?.url ?? null,
						authority: authority && { fingerprint: authority.fingerprint, words: authority.words },
					})}\n`
				: readyForPeople(settings, serving.value),
		);
		await io.untilStopped();
		await stop();
		return exitStatus.fine;
	},
};

async function startServing(
	settings: ServeSettings,
	log: Log,
	withDemo: boolean,
	onJoined: ((joined: JoinNews) => void) | undefined,
): Promise<Result<Serving>> {
	const { port, host, dataDir, name, certificate, makeCa } = settings;
	const scheme = makeCa || certificate !== undefined ? 'https' : 'http';
	const board = await loadBoard(`${scheme}://${name ?? `${host}:${port}`}`);
	if (!board.ok) return board;
	const held = await holdFolder(dataDir);
	if (!held.ok) return held;
	const { store, release } = held.value;
	const trust = await openTrust(settings);
	if (!trust.ok) {
		await store.close();
		await release();
		return trust;
	}
	const authority = trust.value.authority ?? null;
	let relay: Relay;
	try {
		relay = await startRelay({
			port,
			host,
			dataDir,
			...(name === undefined ? {} : { name }),
			...trust.value,
			...(onJoined === undefined ? {} : { onJoined }),
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
	if (!withDemo) return ok({ relay, demo: null, authority, stop });
	const seeded = await seedDemo(relay, store);
	if (!seeded.ok) {
		await stop();
		return seeded;
	}
	const record = seeded.value ?? (await demoRecordOf(store));
	return ok({ relay, demo: record === null ? null : await demoLinks(relay, record), authority, stop });
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
