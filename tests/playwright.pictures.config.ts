import { join } from 'node:path';
import { defineConfig } from '@playwright/test';
import checks from './playwright.config.js';

/** Makes the pictures of docs/pictures from the demo scenario: `npm run pictures`. */
export default defineConfig({
	...checks,
	testDir: 'pictures',
	testMatch: '**/*.pictures.ts',
	outputDir: join('playwright-report', 'pictures'),
	reporter: 'list',
});
