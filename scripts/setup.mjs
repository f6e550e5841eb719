// Gets a fresh clone ready: checks Node, installs what the lockfile names, and with --browser finds a Chromium.
// Runs before node_modules exists, so it uses Node's own modules only. The second time it only compares a stamp.
import { findChromium } from './chromium.mjs';
import { installPackages } from './install.mjs';
import { checkNode } from './node-version.mjs';
import { stopWithSentence } from './say.mjs';

try {
	checkNode();
	await installPackages();
	if (process.argv.includes('--browser')) await findChromium();
} catch (error) {
	stopWithSentence(error);
}
