import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { root, workspaceFolders } from './places.mjs';
import { runNode } from './run.mjs';
import { Advice, say } from './say.mjs';

const stampFile = join(root, 'node_modules', '.setup-stamp');

/** Only these parts of a manifest decide what gets installed: editing a script must not cost a new installation. */
const installFields = ['name', 'workspaces', 'bin', 'dependencies', 'devDependencies', 'optionalDependencies'];

/** Changes when an installation made earlier no longer fits: lockfile, manifests, system, or Node's binary interface. */
export function installStamp() {
	const hash = createHash('sha256').update(readFileSync(join(root, 'package-lock.json')));
	for (const folder of [root, ...workspaceFolders()]) {
		const manifestFile = join(folder, 'package.json');
		if (!existsSync(manifestFile)) continue;
		const manifest = JSON.parse(readFileSync(manifestFile, 'utf8'));
		hash.update(JSON.stringify(installFields.map((field) => manifest[field] ?? null)));
	}
	hash.update(`${process.platform} ${process.arch} ${process.versions.modules}`);
	return hash.digest('hex');
}

/** npm's own script: named by npm when it runs us, else looked for beside this Node. */
function npmScript() {
	const told = process.env.npm_execpath;
	if (told?.endsWith('npm-cli.js') && existsSync(told)) return told;
	const nodeFolder = dirname(process.execPath);
	const places = [
		join(nodeFolder, 'node_modules', 'npm', 'bin', 'npm-cli.js'),
		join(nodeFolder, '..', 'lib', 'node_modules', 'npm', 'bin', 'npm-cli.js'),
	];
	const found = places.find((place) => existsSync(place));
	if (found === undefined) {
		throw new Advice('npm was not found beside this Node. Start with `npm start` or `npm test`, which bring it along.');
	}
	return found;
}

/** Installs exactly what the lockfile names, unless the stamp says that it is already there. */
export async function installPackages() {
	const stamp = installStamp();
	if (existsSync(stampFile) && readFileSync(stampFile, 'utf8') === stamp) return;
	say('installing packages from the lockfile (about ten seconds with a good connection) ...');
	const { status } = await runNode(npmScript(), [
		'ci',
		'--ignore-scripts',
		'--no-audit',
		'--no-fund',
		'--loglevel=error',
	]);
	if (status !== 0) {
		throw new Advice(
			`the packages could not be installed (npm ci ended with status ${status}; its message is above). ` +
				'Check the network or proxy, then run the same command again; nothing else has to be undone.',
		);
	}
	writeFileSync(stampFile, stamp);
}
