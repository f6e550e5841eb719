/** What the runs of one commit have shown so far, so that a run that was stopped goes on: a line of JSON for each. */
import { spawnSync } from 'node:child_process';
import { appendFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

export class Results {
	#file;
	#outcomes = new Map();
	#before = new Map();

	/** @param resume take over what was kept at this commit; nothing is taken over when a tracked file was changed since */
	constructor(root, resume) {
		const git = (...words) => spawnSync('git', words, { cwd: root, encoding: 'utf8' }).stdout.trim();
		const commit = git('rev-parse', 'HEAD');
		const folder = join(root, 'tests', 'test-results', 'sabotage');
		mkdirSync(folder, { recursive: true });
		this.#file = join(folder, `${commit}.jsonl`);
		if (resume && commit !== '' && git('status', '--porcelain', '--untracked-files=no') === '') this.#takeOver();
		else writeFileSync(this.#file, '');
	}

	/** What was kept for a patch; undefined when it was not tried yet, or is worded otherwise now. */
	of(patch) {
		return this.#outcomes.get(JSON.stringify(patch));
	}

	keep(patch, outcome) {
		this.#outcomes.set(JSON.stringify(patch), outcome);
		this.#append({ patch, outcome });
		return outcome;
	}

	/** What the tests of a rule showed without any change; undefined when they were not run yet. */
	before(red) {
		return this.#before.get(JSON.stringify(red));
	}

	keepBefore(red, counts) {
		this.#before.set(JSON.stringify(red), counts);
		this.#append({ red, counts });
		return counts;
	}

	#append(kept) {
		appendFileSync(this.#file, `${JSON.stringify(kept)}\n`);
	}

	#takeOver() {
		let kept = '';
		try {
			kept = readFileSync(this.#file, 'utf8');
		} catch {
			return;
		}
		for (const line of kept.split('\n').filter((text) => text.endsWith('}'))) {
			const { patch, outcome, red, counts } = JSON.parse(line);
			// a machine that was too busy is no hole in the tests: what was not caught is tried again
			if (patch && outcome.how !== 'MISSED') this.#outcomes.set(JSON.stringify(patch), outcome);
			if (red && counts.failed.length === 0) this.#before.set(JSON.stringify(red), counts);
		}
	}
}
