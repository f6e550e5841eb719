import type { Mean, Share } from './statistics.js';

/** A Markdown table. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
	const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
	return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

/** A share in per cent with its 95 % interval. */
export function percent({ hits, of, share, low95, high95 }: Share): string {
	if (of === 0) return 'none of none';
	return `${show(share)} % (${show(low95)} to ${show(high95)}; ${hits} of ${of})`;
}

export function meanText({ mean, half95, n }: Mean): string {
	return n === 0 ? 'none' : `${mean.toFixed(2)} ± ${half95.toFixed(2)}`;
}

/** Whether a target is reached: told by the estimate, and whether its interval settles it. */
export function verdict(reached: boolean, settled: boolean): string {
	return `${reached ? 'reached' : 'missed'}${settled ? '' : ', within the uncertainty'}`;
}

function show(share: number): string {
	return (100 * share).toFixed(1);
}
