/** Fastest that keys or a stick move the lever, % per second, and how long a hand takes to get there, s. */
const fastestPctPerS = 45;
const gathersS = 0.5;

/** The lever under keys or a stick: it gathers way and stops when let go. */
export interface LeverWay {
	readonly leverPct: number;
	readonly ratePctPerS: number;
}

/**
 * Where keys or a stick have moved the lever after a frame.
 * @param push −1 fully down to +1 fully up; 0 lets go
 * @param dtS length of the frame
 */
export function leverAfter({ leverPct, ratePctPerS }: LeverWay, push: number, dtS: number): LeverWay {
	if (push === 0) return { leverPct, ratePctPerS: 0 };
	const wanted = push * fastestPctPerS;
	const most = (fastestPctPerS / gathersS) * dtS;
	const rate = ratePctPerS + Math.min(most, Math.max(-most, wanted - ratePctPerS));
	return { leverPct: onTravel(leverPct + rate * dtS), ratePctPerS: rate };
}

/** A position the lever can have, 0 down to 100 up. */
export function onTravel(leverPct: number): number {
	return Math.min(100, Math.max(0, leverPct));
}

const restsWithin = 0.15;

/** Push of a stick from its axis, which counts downwards; a stick at rest is seldom at 0. */
export function stickPush(axis: number): number {
	return Math.abs(axis) < restsWithin ? 0 : -Math.min(1, Math.max(-1, axis));
}
