export { type Proof, type ProveOptions, prove, type Unproved } from './prove.js';
