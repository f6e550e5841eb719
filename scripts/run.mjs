import { spawn } from 'node:child_process';
import { root } from './places.mjs';

/**
 * Runs a program without a shell and waits for its end.
 * @param {string} program @param {readonly string[]} args
 * @param {{ env?: Record<string, string | undefined>, quiet?: boolean, timeoutMs?: number }} [options]
 *   quiet: keep the output and return it instead of showing it
 * @returns {Promise<{ status: number, output: string }>} status 127 when the program is not there
 */
export function run(program, args, { env = {}, quiet = false, timeoutMs } = {}) {
	return new Promise((resolve) => {
		const child = spawn(program, [...args], {
			cwd: root,
			env: { ...process.env, TURBO_TELEMETRY_DISABLED: '1', ...env },
			stdio: quiet ? ['ignore', 'pipe', 'pipe'] : 'inherit',
			windowsHide: true,
			...(timeoutMs === undefined ? {} : { timeout: timeoutMs }),
		});
		let output = '';
		const keep = (/** @type {Buffer} */ chunk) => {
			output += chunk.toString();
		};
		child.stdout?.on('data', keep);
		child.stderr?.on('data', keep);
		child.on('error', (error) => resolve({ status: 127, output: String(error.message) }));
		child.on('close', (code) => resolve({ status: code ?? 1, output }));
	});
}

/** Runs a script with this very Node. @param {string} script @param {readonly string[]} args @param {Parameters<typeof run>[2]} [options] */
export function runNode(script, args, options) {
	return run(process.execPath, [script, ...args], options);
}
