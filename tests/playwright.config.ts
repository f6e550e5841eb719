import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig } from '@playwright/test';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const chromiumNote = join(root, 'node_modules', '.cache', 'chromium-path');
const executablePath =
	process.env.CHROMIUM_PATH || (existsSync(chromiumNote) ? readFileSync(chromiumNote, 'utf8') : '');

// Tests start their own board (e2e/served-board.ts), since some of them stop, kill and restart it.
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
});
