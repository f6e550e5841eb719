import { fail, ok, type Result } from '@stillmast/core/result';
import { type SignalFileFault, shown } from './fault.js';
import { readUffHead, type UffHead } from './uff58-head.js';

/** One function of a UFF file. */
export interface UffDataset {
	readonly head: UffHead;
	readonly values: Float64Array;
	/** Imaginary parts of complex values; null for real ones. */
	readonly imaginary: Float64Array | null;
	/** Abscissa of each value where the spacing is uneven; null where start and step say it. */
	readonly abscissa: Float64Array | null;
}

const marker = '-1';
const newline = 10;

/**
 * Reads every dataset 58 (ASCII) and 58b (binary) of a Universal File; other datasets are passed over. Datasets follow each
 * other column by column, so the whole file is held. Text is UTF-8 where it is valid, else Latin-1: both occur.
 * Faults `not-this-format`, `not-supported`, `not-a-number`.
 */
export function readUff58(bytes: Uint8Array): Result<readonly UffDataset[], SignalFileFault> {
	const lines = new LineCursor(bytes);
	const datasets: UffDataset[] = [];
	for (;;) {
		const line = lines.next();
		if (line === null) break;
		if (line.trim() !== marker) continue;
		const kind = lines.next();
		if (kind === null) break;
		const name = kind.trim().split(/\s+/)[0]?.toLowerCase() ?? '';
		const place = `dataset ${datasets.length + 1}`;
		if (name === '58' || name === '58b') {
			const head = readUffHead(lines.take(11), place);
			if (!head.ok) return head;
			const read = name === '58' ? readText(lines, head.value, place) : readBinary(lines, kind, head.value, place);
			if (!read.ok) return read;
			datasets.push(read.value);
		} else lines.skipTo(marker);
	}
	if (datasets.length === 0)
		return fail({ code: 'not-this-format', found: 'no dataset 58', needed: 'a dataset 58 or 58b', path: 'file' });
	return ok(datasets);
}

/** Numbers that stand for one value: the abscissa where it is uneven, one or two parts. */
function widthOf(head: UffHead): number {
	return (head.even ? 0 : 1) + (head.form.complex ? 2 : 1);
}

function readText(lines: LineCursor, head: UffHead, place: string): Result<UffDataset, SignalFileFault> {
	const needed = head.count * widthOf(head);
	// the count is the file's own claim: room grows with what is there, not with what is claimed
	const numbers: number[] = [];
	for (;;) {
		const line = lines.next();
		if (line === null || line.trim() === marker) break;
		for (const word of line.trim().split(/\s+/)) {
			if (word === '') continue;
			const value = Number(word.replace(/[dD]/, 'E'));
			if (!Number.isFinite(value))
				return fail({
					code: 'not-a-number',
					found: shown(word),
					needed: 'a number',
					path: `${place}, value ${numbers.length + 1}`,
				});
			numbers.push(value);
		}
	}
	if (numbers.length < needed) return brokenOff(numbers.length, needed, place);
	return ok(sorted(head, (k) => numbers[k] as number));
}

function readBinary(
	lines: LineCursor,
	kind: string,
	head: UffHead,
	place: string,
): Result<UffDataset, SignalFileFault> {
	const [, order, floats, , stated] = kind.trim().split(/\s+/).map(Number);
	if (floats !== 2)
		return fail({
			code: 'not-supported',
			found: `floating point format ${floats}`,
			needed: '2 (IEEE 754)',
			path: place,
		});
	if (order !== 1 && order !== 2)
		return fail({ code: 'not-supported', found: `byte order ${order}`, needed: '1 or 2', path: place });
	if (head.form.double && !head.even) {
		return fail({
			code: 'not-supported',
			found: 'double precision with uneven abscissa in binary',
			needed: 'even spacing or single precision',
			path: place,
		});
	}
	const size = head.form.double ? 8 : 4;
	const needed = head.count * widthOf(head) * size;
	const block = lines.takeBytes(Math.max(needed, stated !== undefined && Number.isFinite(stated) ? stated : 0), needed);
	if (block === null) return brokenOff(lines.left, needed, place);
	const view = new DataView(block.buffer, block.byteOffset, block.byteLength);
	const little = order === 1;
	const dataset = sorted(head, (k) => (size === 8 ? view.getFloat64(8 * k, little) : view.getFloat32(4 * k, little)));
	lines.skipTo(marker);
	return ok(dataset);
}

function sorted(head: UffHead, numberAt: (k: number) => number): UffDataset {
	const width = widthOf(head);
	const first = head.even ? 0 : 1;
	const part = (offset: number) => Float64Array.from({ length: head.count }, (_, k) => numberAt(k * width + offset));
	return {
		head,
		values: part(first),
		imaginary: head.form.complex ? part(first + 1) : null,
		abscissa: head.even ? null : part(0),
	};
}

function brokenOff(found: number, needed: number, place: string): Result<never, SignalFileFault> {
	return fail({ code: 'not-this-format', found: `${found} of ${needed}`, needed: 'all values', path: place });
}

/** Walks through the file line by line; lines end with LF or CR LF. */
class LineCursor {
	readonly #bytes: Uint8Array;
	#at = 0;

	constructor(bytes: Uint8Array) {
		this.#bytes = bytes;
	}

	get left(): number {
		return this.#bytes.length - this.#at;
	}

	next(): string | null {
		if (this.left <= 0) return null;
		const stop = this.#bytes.indexOf(newline, this.#at);
		const end = stop < 0 ? this.#bytes.length : stop;
		const line = decode(this.#bytes.subarray(this.#at, end));
		this.#at = end + 1;
		return line.endsWith('\r') ? line.slice(0, -1) : line;
	}

	take(count: number): string[] {
		const lines: string[] = [];
		for (let k = 0; k < count; k++) {
			const line = this.next();
			if (line === null) break;
			lines.push(line);
		}
		return lines;
	}

	/** A block of bytes: as many as stated, or as are there if at least `needed` are; null when fewer are left. */
	takeBytes(stated: number, needed: number): Uint8Array | null {
		if (this.left < needed) return null;
		const block = this.#bytes.subarray(this.#at, this.#at + Math.min(stated, this.left));
		this.#at += block.length;
		return block;
	}

	/** Goes past the next line that holds only the marker. After a block the rest of its line may hold it too. */
	skipTo(wanted: string): void {
		for (let line = this.next(); line !== null; line = this.next()) if (line.trim() === wanted) return;
	}
}

const utf8 = new TextDecoder('utf-8', { fatal: true });
const latin1 = new TextDecoder('latin1');

function decode(bytes: Uint8Array): string {
	try {
		return utf8.decode(bytes);
	} catch {
		return latin1.decode(bytes);
	}
}
