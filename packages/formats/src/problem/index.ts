export { childPath } from './path.js';
export { type DocumentFault, type DocumentFaultCode, readAs } from './read-as.js';
