export {
	type BleedBracket,
	type BleedJudgement,
	type BleedPart,
	type BleedProblem,
	type BleedRule,
	type BleedVerdict,
	judgeBleed,
} from './bleed-check.js';
