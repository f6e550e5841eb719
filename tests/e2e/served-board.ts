import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const stillmast = join(dirname(fileURLToPath(import.meta.url)), '..', '..', 'apps', 'cli', 'bin', 'stillmast.mjs');

interface OnBoard {
	readonly record: string;
	readonly links: Readonly<Record<string, string>>;
}

/** What `stillmast serve --json` says when it is ready. */
interface Ready {
	readonly url: string;
	readonly port: number;
	readonly demo: OnBoard;
	readonly scenarios: Readonly<Record<string, OnBoard>>;
}

/**
 * The board as a user starts it, in a process and a data folder of its own. Links are new after each start; the port
 * stays, since the address owns what a browser keeps.
 */
export class ServedBoard {
	readonly dataDir = mkdtempSync(join(tmpdir(), 'stillmast-e2e-'));
	readonly #scenarios: readonly string[];
	#child: ChildProcess | undefined;
	#ready: Ready | undefined;

	/** @param scenarios names of those that it plays beside the demo flight */
	constructor(scenarios: readonly string[] = []) {
		this.#scenarios = scenarios;
	}

	get url(): string {
		return this.#said().url;
	}

	/** Id of the demo flight. */
	get record(): string {
		return this.#said().demo.record;
	}

	/** Link that lets a browser into the demo flight in a role: pilot, engineer, support, instructor or reviewer. */
	link(role: string): string {
		const link = this.#said().demo.links[role];
		if (link === undefined) throw new Error(`no link for ${role}`);
		return link;
	}

	/** A played scenario: its record, and a link for each role. */
	scenario(name: string): OnBoard {
		const found = this.#said().scenarios[name];
		if (found === undefined) throw new Error(`${name} is not served`);
		return found;
	}

	async start(): Promise<void> {
		const port = String(this.#ready?.port ?? 0);
		const scenarios = this.#scenarios.flatMap((name) => ['--scenario', name]);
		const child = spawn(
			process.execPath,
			[stillmast, 'serve', '--demo', '--json', '--port', port, '--data', this.dataDir, ...scenarios],
			{
				stdio: ['ignore', 'pipe', 'inherit'],
			},
		);
		this.#child = child;
		this.#ready = await new Promise<Ready>((resolve, reject) => {
			createInterface({ input: child.stdout }).once('line', (line) => resolve(JSON.parse(line) as Ready));
			child.once('exit', (code) => reject(new Error(`stillmast serve ended with status ${code}`)));
		});
	}

	/** Asks it to stop, as Ctrl+C does. */
	stop(): Promise<void> {
		return this.#end('SIGTERM');
	}

	/** Takes it away without a word, as a power cut does. */
	kill(): Promise<void> {
		return this.#end('SIGKILL');
	}

	/** Stops it and removes its folder. */
	async dispose(): Promise<void> {
		await this.stop();
		rmSync(this.dataDir, { recursive: true, force: true });
	}

	async #end(signal: NodeJS.Signals): Promise<void> {
		const child = this.#child;
		this.#child = undefined;
		if (child === undefined || child.exitCode !== null || child.signalCode !== null) return;
		const ended = new Promise((resolve) => child.once('exit', resolve));
		child.kill(signal);
		await ended;
	}

	#said(): Ready {
		if (this.#ready === undefined) throw new Error('the board was not started');
		return this.#ready;
	}
}
