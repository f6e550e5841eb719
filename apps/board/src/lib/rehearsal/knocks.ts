/** What is knocked: count-in and end singly or twice, the look-ahead warning again and again while it lasts. */
export type Knock = 'count' | 'go' | 'end' | 'warning';

/** Low wood: noise through a broad filter, dead within a tenth of a second. It has no pitch to be taken for a horn. */
const centreHz: Readonly<Record<Knock, number>> = { count: 260, go: 340, end: 220, warning: 170 };
const lengthS = 0.09;
const twiceAfterS = 0.16;

/**
 * Low wooden knocks, never a tone, so that nothing sounds like a cockpit's warning. Silent until somebody has tried them:
 * browsers allow sound only after a touch, and a crew must know it before it comes.
 */
export class Knocks {
	#audio: AudioContext | null = null;

	get isOn(): boolean {
		return this.#audio !== null;
	}

	/** From a touch: turns them on and lets one be heard. */
	turnOn(): void {
		this.#audio ??= new AudioContext();
		void this.#audio.resume();
		this.knock('count');
	}

	turnOff(): void {
		void this.#audio?.close();
		this.#audio = null;
	}

	knock(kind: Knock): void {
		const audio = this.#audio;
		if (audio === null) return;
		this.#hit(audio, centreHz[kind], audio.currentTime);
		if (kind === 'end') this.#hit(audio, centreHz[kind], audio.currentTime + twiceAfterS);
	}

	#hit(audio: AudioContext, hz: number, atS: number): void {
		const frames = Math.ceil(lengthS * audio.sampleRate);
		const noise = audio.createBuffer(1, frames, audio.sampleRate);
		noise.getChannelData(0).set(knockSamples(frames));
		const source = new AudioBufferSourceNode(audio, { buffer: noise });
		const wood = new BiquadFilterNode(audio, { type: 'bandpass', frequency: hz, Q: 1.2 });
		const loud = new GainNode(audio, { gain: 2.2 });
		source.connect(wood).connect(loud).connect(audio.destination);
		source.start(atS);
	}
}

/** Noise that dies away; the same each time, so that a knock is known again. */
export function knockSamples(frames: number): Float32Array<ArrayBuffer> {
	const samples = new Float32Array(frames);
	let state = 0x1234567;
	for (let at = 0; at < frames; at++) {
		state = (Math.imul(state, 1_103_515_245) + 12_345) | 0;
		samples[at] = (state / 2 ** 31) * Math.exp((-7 * at) / frames);
	}
	return samples;
}

/** Knocks due between two times of an attempt: three singles, one at go. */
export function countKnock(beforeS: number, nowS: number): Knock | null {
	const passed = (atS: number) => beforeS < atS && nowS >= atS;
	if (passed(0)) return 'go';
	return passed(-3) || passed(-2) || passed(-1) ? 'count' : null;
}
