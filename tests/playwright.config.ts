import { existsSync, mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig } from '@playwright/test';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const chromiumNote = join(root, 'node_modules', '.cache', 'chromium-path');
const executablePath =
	process.env.CHROMIUM_PATH || (existsSync(chromiumNote) ? readFileSync(chromiumNote, 'utf8') : '');

// This file is loaded again in every worker: the environment carries the choice made by the first load.
process.env.STILLMAST_E2E_PORT ??= '4391';
process.env.STILLMAST_E2E_DATA ??= mkdtempSync(join(tmpdir(), 'stillmast-e2e-'));
const port = process.env.STILLMAST_E2E_PORT;
// localhost, not 127.0.0.1: both allow a service worker, and the name is what the printed links carry.
const baseURL = `http://localhost:${port}`;

export default defineConfig({
	testDir: 'e2e',
	testMatch: '**/*.e2e.ts',
	outputDir: join('playwright-report', 'files'),
	// One at a time and never repeated: a test that passes only the second time is a defect.
	workers: 1,
	retries: 0,
	forbidOnly: process.env.CI !== undefined,
	timeout: 60_000,
	reporter: [['list'], ['json', { outputFile: join('playwright-report', 'e2e.json') }]],
	use: {
		baseURL,
		trace: 'retain-on-failure',
		launchOptions: {
			...(executablePath === '' ? {} : { executablePath }),
			args: [
				'--no-sandbox',
				'--disable-gpu',
				'--disable-quic',
				'--no-first-run',
				'--disable-background-networking',
				'--disable-component-update',
				'--disable-sync',
			],
		},
	},
	webServer: {
		command: `"${process.execPath}" "${join(root, 'apps', 'cli', 'bin', 'stillmast.mjs')}" serve --demo`,
		env: { PORT: port, HOST: '127.0.0.1', DATA: process.env.STILLMAST_E2E_DATA },
		url: `${baseURL}/health`,
		reuseExistingServer: false,
		timeout: 60_000,
		gracefulShutdown: { signal: 'SIGTERM', timeout: 5_000 },
	},
});
