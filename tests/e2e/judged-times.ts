/**
 * Times of single frames belong to the machine as much as to the board: each run prints them, and only a run that is made
 * to measure (`STILLMAST_JUDGE_TIMES=1`, nothing else at work) holds them against what is promised.
 */
export const judgesTimes = process.env.STILLMAST_JUDGE_TIMES === '1';
