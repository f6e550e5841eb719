export type { JsonFault, JsonFaultCode } from './fault.js';
export { depthLimit, readJson, sizeLimitBytes } from './read.js';
