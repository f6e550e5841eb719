/** Runs single tests of the packages of a copy, in one warm process for each package (warm.mjs). */
import { fork } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Longest that one test file may take, ms: a change that makes it hang longer is not caught by an assertion. */
const PATIENCE_MS = 600_000;

export class Suites {
	#copy;
	#packages = new Map();

	constructor(copy) {
		this.#copy = copy;
	}

	/**
	 * Titles that failed and how many passed or were skipped, of the tests in `red.test` whose title has `[red.rule]`.
	 * `changed`: absolute paths of the files that are other than they were. Throws when the package's tests cannot run.
	 */
	async run(red, changed) {
		const child = await this.#of(red.package);
		const answer = ask(child);
		child.send({ test: red.test, rule: red.rule, changed });
		const said = await answer;
		if (said.trouble !== undefined) throw new Error(`${red.package}/${red.test}: ${said.trouble}`);
		return said;
	}

	close() {
		for (const child of this.#packages.values()) child.disconnect();
	}

	async #of(folder) {
		const there = this.#packages.get(folder);
		if (there?.connected) return there;
		const child = fork(fileURLToPath(new URL('warm.mjs', import.meta.url)), {
			cwd: join(this.#copy, folder),
			stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
		});
		this.#packages.set(folder, child);
		await ask(child);
		return child;
	}
}

/** The child's next message; rejects when it ends or stays silent. */
function ask(child) {
	return new Promise((resolve, reject) => {
		const settle = (how, value) => {
			clearTimeout(timer);
			child.off('message', heard);
			child.off('exit', ended);
			how(value);
		};
		const heard = (message) => settle(resolve, message);
		const ended = (code) => settle(reject, new Error(`the tests' process ended with ${code}`));
		const timer = setTimeout(() => {
			child.kill();
			settle(reject, new Error(`no answer within ${PATIENCE_MS / 1_000} s`));
		}, PATIENCE_MS);
		child.on('message', heard);
		child.on('exit', ended);
	});
}
