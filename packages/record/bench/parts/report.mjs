// What every bench says about itself: state, machine, load, and numbers with their spread.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { cpus } from 'node:os';

/** One line of JSON: which state was measured, on what, beside how much other work. */
export function conditions() {
	const git = (...args) => {
		try {
			return execFileSync('git', args, { encoding: 'utf8', cwd: import.meta.dirname }).trim();
		} catch {
			return '';
		}
	};
	const changed = git('status', '--porcelain', '--untracked-files=no') === '' ? '' : ' and changes';
	return {
		commit: `${git('log', '-1', '--format=%h') || 'unknown'}${changed}`,
		at: new Date().toISOString(),
		node: process.version,
		cores: cpus().length,
		cpu: cpus()[0]?.model ?? '',
		load: readFileSync('/proc/loadavg', 'utf8').trim(),
	};
}

/** Value below which a share of them lies. */
export function quantile(values, share) {
	const sorted = [...values].sort((a, b) => a - b);
	return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

export const median = (values) => quantile(values, 0.5);

/** `median (least to greatest)`. */
export function spread(values, digits = 0) {
	const text = (value) => value.toFixed(digits);
	return `${text(median(values))} (${text(Math.min(...values))} to ${text(Math.max(...values))})`;
}
