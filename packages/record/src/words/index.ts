export { certificateWords, enrolmentWords, type JoinSeen, joinWords, threeWords } from './three-words.js';
