export {
	packTrace,
	type TraceChunkProblem,
	type TraceRows,
	traceChunkBytesMax,
	traceRowBytes,
	traceRowsPerChunk,
	unpackTrace,
} from './chunks.js';
export { type TraceFileFault, TraceReader, type TraceRow } from './csv-trace.js';
export { TraceMinutes, type TracePiece } from './minutes.js';
