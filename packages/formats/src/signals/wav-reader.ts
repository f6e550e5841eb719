import { fail, ok, type Result } from '@stillmast/core/result';
import { type ColumnPiece, rateTolerance } from './columns.js';
import { type SignalFileFault, shown } from './fault.js';

/** What the channels of a WAV file are. */
export interface WavLayout {
	/** Column id per channel of the file, in its order; null for one that is not wanted. */
	readonly channels: readonly (string | null)[];
	/** Value of full scale per channel, in the channel's quantity; 1 unless stated. */
	readonly fullScale?: readonly number[] | undefined;
}

type SampleForm = 'int16' | 'int24' | 'int32' | 'float32' | 'float64';

interface WavFormat {
	readonly form: SampleForm;
	readonly bytes: number;
	readonly channels: number;
	readonly sampleRateHz: number;
}

const pcm = 1;
const float = 3;
const extensible = 0xfffe;

/** Longest header before the samples; a file that has none within is not read on. */
const longestHead = 1 << 20;

/**
 * Reads a WAV file (RIFF) that arrives in pieces: PCM of 16, 24 or 32 bits, float of 32 or 64. Nothing is resampled: a rate
 * that differs from the setup's is a fault. A data chunk whose stated length is unset or too long, as of a recording
 * broken off, is read to the end of the file.
 */
export class WavReader {
	readonly #layout: WavLayout;
	readonly #sampleRateHz: number;
	#rest = new Uint8Array(0);
	#format: WavFormat | null = null;
	#started = false;
	#inData = false;
	/** Bytes of the data chunk still to come. */
	#left = 0;

	constructor(layout: WavLayout, sampleRateHz: number) {
		this.#layout = layout;
		this.#sampleRateHz = sampleRateHz;
	}

	/** Faults `not-this-format`, `not-supported`, `missing-column`, `sample-rate-differs`. */
	push(bytes: Uint8Array): Result<ColumnPiece, SignalFileFault> {
		const all = new Uint8Array(this.#rest.length + bytes.length);
		all.set(this.#rest);
		all.set(bytes, this.#rest.length);
		this.#rest = all;
		if (!this.#inData) {
			const fault = this.#readHead();
			if (fault) return fail(fault);
		}
		return ok(this.#inData && this.#format ? this.#readFrames(this.#format) : this.#empty());
	}

	/** Fault `not-this-format` when the file ended before its samples. */
	finish(): Result<ColumnPiece, SignalFileFault> {
		if (!this.#inData)
			return fail({ code: 'not-this-format', found: 'the end of the file', needed: 'a data chunk', path: 'RIFF' });
		return ok(this.#empty());
	}

	#readHead(): SignalFileFault | null {
		const view = viewOf(this.#rest);
		let at = 0;
		if (!this.#started) {
			if (view.byteLength < 12) return null;
			const kind = `${tag(view, 0)} ${tag(view, 8)}`;
			if (kind !== 'RIFF WAVE' && kind !== 'RF64 WAVE')
				return { code: 'not-this-format', found: shown(kind), needed: 'RIFF WAVE', path: 'byte 0' };
			this.#started = true;
			at = 12;
		}
		while (at + 8 <= view.byteLength) {
			const name = tag(view, at);
			const size = view.getUint32(at + 4, true);
			if (name === 'data') {
				if (!this.#format)
					return { code: 'not-this-format', found: 'data before fmt', needed: 'a fmt chunk', path: 'data' };
				this.#inData = true;
				// 0 and all ones are what a recorder leaves that could not go back to write the length
				this.#left = size === 0 || size === 0xffffffff ? Number.POSITIVE_INFINITY : size;
				at += 8;
				break;
			}
			const end = at + 8 + size + (size % 2);
			if (end > view.byteLength) {
				if (end - at > longestHead)
					return {
						code: 'not-this-format',
						found: `a chunk of ${size} bytes before the samples`,
						needed: 'a data chunk',
						path: shown(name),
					};
				break;
			}
			if (name === 'fmt ') {
				const read = this.#readFormat(new DataView(view.buffer, view.byteOffset + at + 8, size));
				if (!read.ok) return read.problem;
				this.#format = read.value;
			}
			at = end;
		}
		this.#rest = this.#rest.slice(at);
		return null;
	}

	#readFormat(view: DataView): Result<WavFormat, SignalFileFault> {
		if (view.byteLength < 16)
			return fail({ code: 'not-this-format', found: `${view.byteLength} bytes`, needed: '16 bytes', path: 'fmt' });
		const stated = view.getUint16(0, true);
		const code = stated === extensible && view.byteLength >= 26 ? view.getUint16(24, true) : stated;
		const channels = view.getUint16(2, true);
		const sampleRateHz = view.getUint32(4, true);
		const bits = view.getUint16(14, true);
		const form =
			code === pcm
				? ({ 16: 'int16', 24: 'int24', 32: 'int32' } as const)[bits]
				: code === float
					? ({ 32: 'float32', 64: 'float64' } as const)[bits]
					: undefined;
		if (form === undefined) {
			return fail({
				code: 'not-supported',
				found: `format ${code} with ${bits} bits`,
				needed: 'PCM of 16, 24 or 32 bits or float of 32 or 64',
				path: 'fmt',
			});
		}
		if (channels < this.#layout.channels.length || channels === 0) {
			return fail({
				code: 'missing-column',
				found: `${channels} channels`,
				needed: `${this.#layout.channels.length} channels`,
				path: 'fmt',
			});
		}
		if (!(Math.abs(sampleRateHz / this.#sampleRateHz - 1) <= rateTolerance)) {
			return fail({
				code: 'sample-rate-differs',
				found: `${sampleRateHz} Hz`,
				needed: `${this.#sampleRateHz} Hz`,
				path: 'fmt',
			});
		}
		return ok({ form, bytes: bits / 8, channels, sampleRateHz });
	}

	#readFrames(format: WavFormat): ColumnPiece {
		const frame = format.bytes * format.channels;
		const frames = Math.floor(Math.min(this.#rest.length, this.#left) / frame);
		const view = viewOf(this.#rest);
		const piece: Record<string, Float64Array> = {};
		for (const [channel, name] of this.#layout.channels.entries()) {
			if (name === null) continue;
			const scale = (this.#layout.fullScale?.[channel] ?? 1) / fullScales[format.form];
			const column = new Float64Array(frames);
			for (let k = 0; k < frames; k++)
				column[k] = scale * readers[format.form](view, k * frame + channel * format.bytes);
			piece[name] = column;
		}
		this.#left -= frames * frame;
		this.#rest = this.#left < frame ? new Uint8Array(0) : this.#rest.slice(frames * frame);
		return piece;
	}

	#empty(): ColumnPiece {
		return Object.fromEntries(
			this.#layout.channels.filter((name) => name !== null).map((name) => [name, new Float64Array(0)]),
		);
	}
}

const fullScales: Readonly<Record<SampleForm, number>> = {
	int16: 2 ** 15,
	int24: 2 ** 23,
	int32: 2 ** 31,
	float32: 1,
	float64: 1,
};

const readers: Readonly<Record<SampleForm, (view: DataView, at: number) => number>> = {
	int16: (view, at) => view.getInt16(at, true),
	int24: (view, at) => (view.getInt8(at + 2) << 16) | view.getUint16(at, true),
	int32: (view, at) => view.getInt32(at, true),
	float32: (view, at) => view.getFloat32(at, true),
	float64: (view, at) => view.getFloat64(at, true),
};

function viewOf(bytes: Uint8Array): DataView {
	return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

function tag(view: DataView, at: number): string {
	return String.fromCharCode(view.getUint8(at), view.getUint8(at + 1), view.getUint8(at + 2), view.getUint8(at + 3));
}
