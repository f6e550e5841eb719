export { cardFacts, cardModel } from './card-facts.js';
export { decidedVerdict, type LimitCase, type LineCase, limitCases, weighed } from './limit-cases.js';
export { type RotorJob, type RotorJobRun, rotorJob } from './rotor-job.js';
export { settingsBefore } from './settings-before.js';
