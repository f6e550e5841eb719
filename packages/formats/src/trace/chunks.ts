import { fail, ok, type Problem, type Result } from '@stillmast/core/result';

/** Largest chunk of a trace, in bytes: one blob message within one frame of the wire. */
export const traceChunkBytesMax = 48 * 1024;
const timeBytes = 8;
const valueBytes = 4;

/** Rows of a trace: a time, and one value per channel; null where the channel had no sample. */
export interface TraceRows {
	readonly timesS: readonly number[];
	readonly columns: readonly (readonly (number | null)[])[];
}

/** Bytes of one row: its time as Float64, each channel as Float32. */
export function traceRowBytes(channelCount: number): number {
	return timeBytes + valueBytes * channelCount;
}

/** Rows that fit into one chunk. */
export function traceRowsPerChunk(channelCount: number): number {
	return Math.floor(traceChunkBytesMax / traceRowBytes(channelCount));
}

/** Packs rows into chunks, little-endian, in order. A value that is not there is written as the float's own NaN. */
export function packTrace({ timesS, columns }: TraceRows): readonly Uint8Array<ArrayBuffer>[] {
	const rowBytes = traceRowBytes(columns.length);
	const perChunk = traceRowsPerChunk(columns.length);
	const chunks: Uint8Array<ArrayBuffer>[] = [];
	for (let from = 0; from < timesS.length; from += perChunk) {
		const count = Math.min(perChunk, timesS.length - from);
		const view = new DataView(new ArrayBuffer(count * rowBytes));
		for (let row = 0; row < count; row++) {
			view.setFloat64(row * rowBytes, timesS[from + row] ?? Number.NaN, true);
			for (const [at, column] of columns.entries()) {
				view.setFloat32(row * rowBytes + timeBytes + valueBytes * at, column[from + row] ?? Number.NaN, true);
			}
		}
		chunks.push(new Uint8Array(view.buffer));
	}
	return chunks;
}

/** `chunk-size`: not a whole number of rows · `not-a-time`: a time that is not finite. */
export interface TraceChunkProblem extends Problem {
	readonly code: 'chunk-size' | 'not-a-time';
}

/** Reads chunks back, in order. */
export function unpackTrace(chunks: readonly Uint8Array[], channelCount: number): Result<TraceRows, TraceChunkProblem> {
	const rowBytes = traceRowBytes(channelCount);
	const timesS: number[] = [];
	const columns: (number | null)[][] = Array.from({ length: channelCount }, () => []);
	for (const chunk of chunks) {
		if (chunk.length % rowBytes !== 0)
			return fail({ code: 'chunk-size', found: chunk.length, needed: `a multiple of ${rowBytes}` });
		const view = new DataView(chunk.buffer, chunk.byteOffset, chunk.length);
		for (let at = 0; at < chunk.length; at += rowBytes) {
			const timeS = view.getFloat64(at, true);
			if (!Number.isFinite(timeS)) return fail({ code: 'not-a-time', found: String(timeS), needed: 'seconds' });
			timesS.push(timeS);
			for (const [index, column] of columns.entries()) {
				const value = view.getFloat32(at + timeBytes + valueBytes * index, true);
				column.push(Number.isFinite(value) ? value : null);
			}
		}
	}
	return ok({ timesS, columns });
}
