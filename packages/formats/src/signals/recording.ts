import { fail, ok, type Result } from '@stillmast/core/result';
import { type OrdersAnswer, type SignalProblem, SignalReducer } from '@stillmast/core/vibration';
import { type ColumnPiece, rateTolerance } from './columns.js';
import { CsvReader } from './csv-reader.js';
import type { SignalFileFault } from './fault.js';
import type { SignalSetupDocument } from './setup-schema.js';
import { readUff58 } from './uff58.js';
import { WavReader } from './wav-reader.js';

export type RecordingKind = 'csv' | 'wav' | 'uff';

/** Reads columns from a file that arrives in pieces. */
export interface RecordingReader {
	push(bytes: Uint8Array): Result<ColumnPiece, SignalFileFault>;
	finish(): Result<ColumnPiece, SignalFileFault>;
}

/** The kind by the ending of a file's name: `.wav`; `.uff`, `.unv` and `.u58`; everything else is CSV. */
export function recordingKindOf(fileName: string): RecordingKind {
	const ending = fileName.toLowerCase().split('.').at(-1);
	if (ending === 'wav') return 'wav';
	return ending === 'uff' || ending === 'unv' || ending === 'u58' ? 'uff' : 'csv';
}

/** The columns a setup asks for: its channels and, where pulses are in a column, that one. */
export function columnsOf(setup: SignalSetupDocument): readonly string[] {
	const ids = setup.channels.map(({ id }) => id);
	return 'column' in setup.pulse ? [...ids, setup.pulse.column] : ids;
}

/** A reader for a kind of file. Without `wav` or `uff` in the setup, channels or datasets are taken to stand in the order of `columnsOf`. */
export function recordingReader(kind: RecordingKind, setup: SignalSetupDocument): RecordingReader {
	const wanted = columnsOf(setup);
	if (kind === 'csv') return new CsvReader(wanted, setup.sampleRateHz, setup.csv);
	if (kind === 'wav') return new WavReader(setup.wav ?? { channels: wanted }, setup.sampleRateHz);
	return new UffReader(setup.uff?.datasets ?? wanted, setup.sampleRateHz);
}

/**
 * Reduces a recorded file to order readings without holding it: a piece at a time, but for UFF, whose columns follow each
 * other and are therefore held.
 * @param pieces the file's bytes, in pieces of any size
 * Problems: those of the file (`SignalFileFault`) and of the signals (`SignalProblem`).
 */
export async function reduceRecording(
	kind: RecordingKind,
	setup: SignalSetupDocument,
	pieces: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
): Promise<Result<OrdersAnswer, SignalFileFault | SignalProblem>> {
	const started = SignalReducer.start(setup);
	if (!started.ok) return started;
	const reducer = started.value;
	const reader = recordingReader(kind, setup);
	for await (const bytes of pieces) {
		const read = reader.push(bytes);
		if (!read.ok) return read;
		const pushed = reducer.push(read.value);
		if (!pushed.ok) return pushed;
	}
	const last = reader.finish();
	if (!last.ok) return last;
	const pushed = reducer.push(last.value);
	return pushed.ok ? reducer.finish() : pushed;
}

/** Holds a UFF file until it is whole and then gives its columns. */
class UffReader implements RecordingReader {
	readonly #datasets: readonly (string | null)[];
	readonly #sampleRateHz: number;
	readonly #pieces: Uint8Array[] = [];

	constructor(datasets: readonly (string | null)[], sampleRateHz: number) {
		this.#datasets = datasets;
		this.#sampleRateHz = sampleRateHz;
	}

	push(bytes: Uint8Array): Result<ColumnPiece, SignalFileFault> {
		this.#pieces.push(bytes.slice());
		return ok(
			Object.fromEntries(this.#datasets.filter((name) => name !== null).map((name) => [name, new Float64Array(0)])),
		);
	}

	finish(): Result<ColumnPiece, SignalFileFault> {
		const file = new Uint8Array(this.#pieces.reduce((sum, piece) => sum + piece.length, 0));
		let at = 0;
		for (const piece of this.#pieces) {
			file.set(piece, at);
			at += piece.length;
		}
		const read = readUff58(file);
		if (!read.ok) return read;
		const columns: Record<string, Float64Array> = {};
		for (const [k, name] of this.#datasets.entries()) {
			if (name === null) continue;
			const path = `dataset ${k + 1}`;
			const dataset = read.value[k];
			if (!dataset)
				return fail({
					code: 'missing-column',
					found: `${read.value.length} datasets`,
					needed: `a dataset ${k + 1}`,
					path,
				});
			if (dataset.imaginary !== null || dataset.abscissa !== null) {
				return fail({
					code: 'not-supported',
					found: 'complex values or an uneven abscissa',
					needed: 'a time response at an even rate',
					path,
				});
			}
			const rateHz = 1 / dataset.head.abscissaStep;
			if (!(Math.abs(rateHz / this.#sampleRateHz - 1) <= rateTolerance)) {
				return fail({ code: 'sample-rate-differs', found: `${rateHz} Hz`, needed: `${this.#sampleRateHz} Hz`, path });
			}
			columns[name] = dataset.values;
		}
		return ok(columns);
	}
}
