import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface, type Interface } from 'node:readline';
import type { Entry } from '@stillmast/formats/entry';

const SCRIPT = join(import.meta.dirname, 'relay-process.mjs');

/** A relay in a process of its own, on a folder that outlives it. */
export class RelayProcess {
	#child: ChildProcess | null = null;
	#lines: AsyncIterator<string> | null = null;
	#reader: Interface | null = null;
	#port = 0;
	readonly #folder: string;
	url = '';
	publicKey = '';

	static async start(): Promise<RelayProcess> {
		const relay = new RelayProcess(await mkdtemp(join(tmpdir(), 'stillmast-sync-')));
		await relay.start();
		return relay;
	}

	private constructor(folder: string) {
		this.#folder = folder;
	}

	/** Starts it on its folder, the second time on the same port. */
	async start(): Promise<void> {
		const child = spawn(process.execPath, [SCRIPT, this.#folder, String(this.#port)], {
			stdio: ['pipe', 'pipe', 'inherit'],
		});
		this.#child = child;
		this.#reader = createInterface({ input: child.stdout });
		this.#lines = this.#reader[Symbol.asyncIterator]();
		const { url, port, publicKey } = JSON.parse(await this.#line()) as { url: string; port: number; publicKey: string };
		this.url = url;
		this.publicKey = publicKey;
		this.#port = port;
	}

	async invite(record: string, role: string): Promise<string> {
		const { secret } = (await this.#ask({ record, role })) as { secret: string };
		return secret;
	}

	/** Puts a record there whose creator may from then on bring others: crew of the house. */
	async adopt(record: string, entries: readonly Entry[]): Promise<void> {
		await this.#ask({ record, entries });
	}

	/** No warning, no flushing, no goodbye. */
	async kill(): Promise<void> {
		const child = this.#child;
		this.#child = null;
		this.#reader?.close();
		if (!child || child.exitCode !== null) return;
		const gone = new Promise((resolve) => child.once('exit', resolve));
		child.kill('SIGKILL');
		await gone;
	}

	async end(): Promise<void> {
		await this.kill();
		await rm(this.#folder, { recursive: true, force: true });
	}

	async #ask(question: unknown): Promise<unknown> {
		this.#child?.stdin?.write(`${JSON.stringify(question)}\n`);
		return JSON.parse(await this.#line());
	}

	async #line(): Promise<string> {
		const next = await this.#lines?.next();
		if (!next || next.done) throw new Error('the relay process ended');
		return next.value;
	}
}
