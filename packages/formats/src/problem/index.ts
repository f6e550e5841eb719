export { childPath } from './path.js';
export { type DocumentFault, type DocumentFaultCode, faultsIn, readAs } from './read-as.js';
