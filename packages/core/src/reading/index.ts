export { judgeReading, type ReadingJudgement, type ReadingSide, readingSdIps } from './judge-reading.js';
