import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { type Browser, chromium, type Page } from '@playwright/test';

/** A browser with a profile on disk that can be taken away without a word and started again on the same profile. */
export class KillableBrowser {
	readonly #profile = mkdtempSync(join(tmpdir(), 'stillmast-profile-'));
	readonly #executable: string;
	readonly #args: readonly string[];
	readonly #size: { readonly width: number; readonly height: number };
	#process: ChildProcess | undefined;
	#browser: Browser | undefined;

	constructor(
		launch: { readonly executablePath?: string; readonly args?: readonly string[] },
		size: { readonly width: number; readonly height: number },
	) {
		this.#executable = launch.executablePath ?? chromium.executablePath();
		this.#args = launch.args ?? [];
		this.#size = size;
	}

	async start(): Promise<Page> {
		const { width, height } = this.#size;
		const child = spawn(
			this.#executable,
			[
				...this.#args,
				'--headless',
				'--remote-debugging-port=0',
				`--user-data-dir=${this.#profile}`,
				`--window-size=${width},${height}`,
				'about:blank',
			],
			// a group of its own, so that the renderer and network processes die with it
			{ stdio: ['ignore', 'ignore', 'pipe'], detached: true },
		);
		this.#process = child;
		this.#browser = await chromium.connectOverCDP(await addressOf(child));
		const context = this.#browser.contexts()[0];
		if (context === undefined) throw new Error('the browser came up without a profile');
		const page = context.pages()[0] ?? (await context.newPage());
		await page.setViewportSize(this.#size);
		return page;
	}

	/** SIGKILL to every process of it. */
	async kill(): Promise<void> {
		const child = this.#process;
		this.#process = undefined;
		if (child?.pid === undefined) return;
		const ended = new Promise((resolve) => child.once('exit', resolve));
		process.kill(-child.pid, 'SIGKILL');
		await ended;
		await this.#browser?.close().catch(() => undefined);
	}

	async dispose(): Promise<void> {
		await this.kill();
		rmSync(this.#profile, { recursive: true, force: true, maxRetries: 10 });
	}
}

function addressOf(child: ChildProcess): Promise<string> {
	return new Promise((resolve, reject) => {
		if (child.stderr === null) return reject(new Error('the browser has no standard error'));
		createInterface({ input: child.stderr }).on('line', (line) => {
			const found = /DevTools listening on (\S+)/.exec(line)?.[1];
			if (found !== undefined) resolve(found);
		});
		child.once('exit', (code) => reject(new Error(`the browser ended with ${code}`)));
	});
}
