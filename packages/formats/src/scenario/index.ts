export { readScenario, referenceOf } from './read.js';
export { type Scenario, type ScenarioDevice, type ScenarioEvent, scenarioSchema } from './schema.js';
