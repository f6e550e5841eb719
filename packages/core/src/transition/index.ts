export { peakSearchS, type Response, respond } from './response.js';
export {
	fewestSamples,
	type Movement,
	type Range,
	type Sample,
	type Timed,
	type TransitionFault,
	timeMovement,
} from './timing.js';
export {
	type Attempt,
	type Attempts,
	type DeclaredMovement,
	declaredAttempt,
	declaredTime,
	handTimingS,
	judgeTime,
	type LiftOff,
	summarise,
	type TransitionTarget,
	type TransitionVerdict,
	timeLiftOff,
	tracedAttempt,
} from './verdict.js';
