export type { ScenarioDocuments } from './documents.js';
export { lastsMs, type Played, type PlayOptions, type PlayProblem, playScenario } from './play.js';
