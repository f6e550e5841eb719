import { fail, ok, type Result } from '@stillmast/core/result';
import { type JoinNews, type Log, type Relay, type Store, startRelay } from '@stillmast/relay';
import { holdFolder } from '../data-folder/folder.js';
import { refusalOf } from '../document/fault.js';
import { exitStatus, type Io } from '../io.js';
import { readArgs, UsageError, type Verb } from '../verb.js';
import { loadBoard } from './board.js';
import { joinedForPeople, readyForPeople, type Serving } from './people.js';
import { demoName, readScenarioFolder, type ScenarioFolder } from './scenario/read-folder.js';
import { type OnBoard, seedDemo, seedScenario } from './scenario/seed.js';
import { type ServeSettings, serveSettings } from './settings.js';
import { openTrust } from './trust.js';

const help = `usage: stillmast serve [--port N] [--host ADDRESS] [--data FOLDER] [--name HOST]
                       [--make-ca | --cert FILE --cert-key FILE]
                       [--demo] [--scenario NAME|FOLDER]... [--json] [--log]

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
  --scenario NAME|FOLDER
                  plays an invented check (one of demo-scenarios, or a folder of your own with a
                  scenario.json) so that it ends now, and prints a link for each role; may be
                  given several times. One that was played into FOLDER before is taken up as it is
  --json          one line of JSON when it is ready:
                  { "url", "port", "demo", "scenarios", "welcome", "authority" }
  --log           every request, not only warnings and errors, as JSON lines on standard error

Exit status: 0 stopped; 1 could not serve; 2 wrong usage or scenario.
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
	scenario: { type: 'string', multiple: true },
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
		const toPlay = await readToPlay(values.demo === true, values.scenario ?? []);
		if (!toPlay.ok) {
			await io.err(`stillmast serve: ${refusalOf(toPlay.problem).words}\n`);
			return exitStatus.wrongInput;
		}
		const serving = await startServing(settings, logTo(io, values.log === true), toPlay.value, onJoined);
		if (!serving.ok) {
			await io.err(`stillmast serve: ${refusalOf(serving.problem).words}\n`);
			return exitStatus.notInOrder;
		}
		const { relay, demo, scenarios, authority, stop } = serving.value;
		const welcome = demo === null && scenarios.size === 0 ? relay.welcome : null;
		await io.out(
			asJson
				? `${JSON.stringify({
						url: relay.url,
						port: relay.port,
						demo,
						scenarios: Object.fromEntries(scenarios),
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

/** What is put on the board before anybody comes. */
interface ToPlay {
	readonly demo: ScenarioFolder | null;
	readonly scenarios: readonly ScenarioFolder[];
}

async function readToPlay(withDemo: boolean, names: readonly string[]): Promise<Result<ToPlay>> {
	const scenarios: ScenarioFolder[] = [];
	for (const name of names) {
		const read = await readScenarioFolder(name);
		if (!read.ok) return read;
		scenarios.push(read.value);
	}
	if (!withDemo) return ok({ demo: null, scenarios });
	const demo = await readScenarioFolder(demoName);
	return demo.ok ? ok({ demo: demo.value, scenarios }) : demo;
}

async function startServing(
	settings: ServeSettings,
	log: Log,
	toPlay: ToPlay,
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
	const played = await putOnBoard(relay, store, toPlay);
	if (!played.ok) {
		await stop();
		return played;
	}
	return ok({ relay, ...played.value, authority, stop });
}

async function putOnBoard(
	relay: Relay,
	store: Store,
	toPlay: ToPlay,
): Promise<Result<Pick<Serving, 'demo' | 'scenarios'>>> {
	const demo = toPlay.demo === null ? ok(null) : await seedDemo(relay, store, toPlay.demo);
	if (!demo.ok) return demo;
	const scenarios = new Map<string, OnBoard>();
	for (const folder of toPlay.scenarios) {
		const played = await seedScenario(relay, store, folder);
		if (!played.ok) return played;
		scenarios.set(folder.scenario.id, played.value);
	}
	return ok({ demo: demo.value, scenarios });
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
