// Builds what changed, then serves board and relay on one port with the demo flight in a new data folder.
// Flags --port, --host, --data (or PORT, HOST, DATA from the environment) are read by `stillmast serve`.
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { commandScript, root } from './places.mjs';
import { runNode } from './run.mjs';
import { Advice, say, stopWithSentence } from './say.mjs';

async function build() {
	say('building what changed since the last time ...');
	const turbo = commandScript('turbo', 'bin', 'turbo');
	const { status } = await runNode(turbo, [
		'run',
		'build',
		'--filter=@stillmast/cli',
		'--output-logs=errors-only',
		'--log-order=grouped',
	]);
	if (status !== 0) throw new Advice('the build failed; the first error above names the file. Nothing was started.');
}

/** The data folder lies in the repository, wherever the command was called from, unless somebody names another. */
function withDefaults(/** @type {readonly string[]} */ args) {
	const named = process.env.DATA || args.some((arg) => arg === '--data' || arg.startsWith('--data='));
	return ['serve', '--demo', ...(named ? [] : ['--data', join(root, 'data')]), ...args];
}

try {
	await build();
	const cli = await import(pathToFileURL(join(root, 'apps', 'cli', 'dist', 'index.js')).href);
	process.exitCode = await cli.main(withDefaults(process.argv.slice(2)));
} catch (error) {
	stopWithSentence(error);
}
