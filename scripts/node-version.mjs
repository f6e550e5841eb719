import { Advice } from './say.mjs';

/**
 * Whether this Node can run the tools: 20.19 or later of 20, 22.12 or later of 22, or 24 and up (the `engines` line).
 * @param {string} version as in `process.versions.node`
 */
export function nodeIsSupported(version) {
	const [major = 0, minor = 0] = version.split('.').map(Number);
	return (major === 20 && minor >= 19) || (major === 22 && minor >= 12) || major >= 24;
}

export function checkNode() {
	if (nodeIsSupported(process.versions.node)) return;
	throw new Advice(
		`this is Node ${process.versions.node}; Stillmast needs Node 20.19 or later of 20, 22.12 or later of 22, or 24. ` +
			'Install Node 22 or 24 and run the same command again.',
	);
}
