export type * from './answer.js';
export { checkRotor } from './check-rotor.js';
export type { RotorProblemCode, RotorProblemFault } from './fault.js';
export { learnRotor, type Member, type Posterior } from './learn/learn.js';
export type * from './model.js';
export type { SolveOptions } from './options.js';
export { type Forecast, forecastOf, type Prediction, predict } from './predict/predict.js';
export { propose } from './propose/propose.js';
export { solveRotor } from './solve-rotor.js';
