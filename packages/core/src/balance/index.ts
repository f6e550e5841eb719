export type * from './answer.js';
export type { RotorProblemCode, RotorProblemFault } from './fault.js';
export type * from './model.js';
export type { SolveOptions } from './options.js';
