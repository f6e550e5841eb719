export { type TraceFileFault, TraceReader, type TraceRow } from './csv-trace.js';
