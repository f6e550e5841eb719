/** A lever movement as somebody would make it, not as it was ordered. */
export interface LeverMove {
	readonly fromPct: number;
	readonly toPct: number;
	readonly startS: number;
	readonly durationS: number;
	/** Share of the span by which the hand goes too far before it comes back. */
	readonly overshootShare: number;
}

/** Position of the lever: a minimum-jerk movement (Flash and Hogan 1985, from memory) with an overshoot that is taken back. */
export function leverAtPct(move: LeverMove, timeS: number): number {
	const x = Math.min(1, Math.max(0, (timeS - move.startS) / move.durationS));
	const reached = minimumJerk(x);
	const back = Math.min(1, Math.max(0, (timeS - move.startS - move.durationS) / takeBackS));
	const over = move.overshootShare * reached * (1 - minimumJerk(back));
	return move.fromPct + (move.toPct - move.fromPct) * (reached + over);
}

const takeBackS = 0.8;

function minimumJerk(x: number): number {
	return x * x * x * (10 - 15 * x + 6 * x * x);
}
