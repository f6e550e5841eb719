import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { ASSEMBLED_BYTES_MAX, FRAME_BYTES_MAX } from './access.js';
import { encodeMessage, type WireProblem } from './codec.js';
import type { WireMessage } from './message.js';

type Fragment = Extract<WireMessage, { type: 'fragment' }>;

/** Room for the fragment's own header: four numbers and a length, each of at most 5 bytes here. */
const HEADER_BYTES = 32;
const PART_BYTES = FRAME_BYTES_MAX - HEADER_BYTES;
const COUNT_MAX = Math.ceil(ASSEMBLED_BYTES_MAX / PART_BYTES);

/**
 * Frames that carry `message`: itself where it fits into one, else `fragment` messages.
 * @param id number of this message on this socket and direction; must grow from call to call
 * @returns frames of at most 64 KiB in sending order; `too-big` over 16 MiB
 */
export function frames(message: Uint8Array, id: number): Result<Uint8Array[], WireProblem> {
	if (message.length > ASSEMBLED_BYTES_MAX) {
		return fail({ code: 'too-big', found: message.length, needed: ASSEMBLED_BYTES_MAX });
	}
	if (message.length <= FRAME_BYTES_MAX) return ok([message]);
	const count = Math.ceil(message.length / PART_BYTES);
	return ok(
		Array.from({ length: count }, (_, index) =>
			encodeMessage({
				type: 'fragment',
				id,
				index,
				count,
				bytes: message.subarray(index * PART_BYTES, (index + 1) * PART_BYTES),
			}),
		),
	);
}

/** `fragment-order`: parts must come in order, one message after the other. */
export interface FragmentProblem extends Problem {
	readonly code: 'fragment-order' | 'too-big';
}

/** Puts the fragments of one socket and direction together. Holds one message at a time, at most 16 MiB. */
export class FragmentAssembler {
	#id = -1;
	#parts: Uint8Array[] = [];
	#count = 0;
	#bytes = 0;

	/** @returns the whole message after its last part, null before */
	add(part: Fragment): Result<Uint8Array | null, FragmentProblem> {
		if (part.count > COUNT_MAX) return this.#refuse({ code: 'too-big', found: part.count, needed: COUNT_MAX });
		if (part.index === 0) {
			if (part.id <= this.#id || this.#parts.length > 0 || part.count < 2) return this.#outOfOrder(part);
			this.#id = part.id;
			this.#count = part.count;
		} else if (part.id !== this.#id || part.index !== this.#parts.length || part.count !== this.#count) {
			return this.#outOfOrder(part);
		}
		this.#bytes += part.bytes.length;
		if (this.#bytes > ASSEMBLED_BYTES_MAX) {
			return this.#refuse({ code: 'too-big', found: this.#bytes, needed: ASSEMBLED_BYTES_MAX });
		}
		this.#parts.push(part.bytes);
		if (this.#parts.length < this.#count) return ok(null);
		const whole = new Uint8Array(this.#bytes);
		let offset = 0;
		for (const bytes of this.#parts) {
			whole.set(bytes, offset);
			offset += bytes.length;
		}
		this.#clear();
		return ok(whole);
	}

	#outOfOrder(part: Fragment): Result<never, FragmentProblem> {
		return this.#refuse({
			code: 'fragment-order',
			found: { id: part.id, index: part.index, count: part.count },
			needed: { id: this.#id, index: this.#parts.length, count: this.#count },
		});
	}

	#refuse(problem: FragmentProblem): Result<never, FragmentProblem> {
		this.#clear();
		return fail(problem);
	}

	#clear(): void {
		this.#parts = [];
		this.#count = 0;
		this.#bytes = 0;
	}
}
