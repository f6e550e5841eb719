import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The repository's root, seen from where the bench is built to. */
export const ROOT = fileURLToPath(new URL('../../../../../../', import.meta.url));

/** The commit the bench runs at; `+` where files it is made of were changed since. */
export function commitHere(): string {
	const git = (...args: string[]) => execFileSync('git', args, { cwd: ROOT, encoding: 'utf8' }).trim();
	const parts = ['packages/core/src', 'packages/core/bench'];
	const changed = git('status', '--porcelain', '--', ...parts);
	return `${git('log', '-1', '--format=%h', '--', ...parts)}${changed === '' ? '' : '+'}`;
}

/** Answers worked out already at a commit: a bench that was stopped goes on where it stood. */
export interface Finished {
	readonly read: (name: string) => unknown;
	readonly write: (name: string, answer: unknown) => void;
}

/** Kept as JSON beside the built bench; nothing is kept for a commit whose files were changed since. */
export function finishedAt(commit: string): Finished {
	if (commit.endsWith('+')) return { read: () => undefined, write: () => undefined };
	const folder = new URL(`build/finished/${commit}/`, `file://${ROOT}packages/core/bench/`);
	const fileOf = (name: string) => new URL(`${name.replace(/[^a-z0-9.]+/gi, '-')}.json`, folder);
	return {
		read: (name) => {
			const file = fileOf(name);
			return existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as unknown) : undefined;
		},
		write: (name, answer) => {
			mkdirSync(folder, { recursive: true });
			const whole = fileOf(name);
			const part = new URL(`${whole.href}.part`);
			writeFileSync(part, JSON.stringify(answer));
			renameSync(part, whole);
		},
	};
}
