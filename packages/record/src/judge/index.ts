export { cardFacts, cardModel } from './card-facts.js';
export { type RotorJob, type RotorJobRun, rotorJob } from './rotor-job.js';
export { settingsBefore } from './settings-before.js';
