export {
	type AutorotationJudgement,
	type AutorotationProblem,
	type AutorotationRule,
	type AutorotationRun,
	judgeAutorotation,
} from './rotor-speed.js';
