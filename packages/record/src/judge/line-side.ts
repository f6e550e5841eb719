import type { LimitLineWords } from '@stillmast/formats/type-data';

/** Where an indicated value stands against a limit line; on the line is inside. The line's `when` is for people. */
export function lineSide({ above, below }: LimitLineWords, value: number): 'inside' | 'beyond' {
	const isBeyond = (above !== undefined && value > above) || (below !== undefined && value < below);
	return isBeyond ? 'beyond' : 'inside';
}
