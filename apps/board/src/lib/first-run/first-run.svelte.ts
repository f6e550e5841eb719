const storageKey = 'stillmast/first-run@1';

/** What somebody has gone through once on this device. */
interface FirstRunKept {
	readonly areCautionsRead: boolean;
	readonly isSetUp: boolean;
}

/** Reads what was kept; anything unreadable counts as not gone through, so that cautions show rather than not. */
export function readFirstRun(kept: string | null): FirstRunKept {
	try {
		const value: unknown = JSON.parse(kept ?? '{}');
		const found = typeof value === 'object' && value !== null ? (value as Partial<FirstRunKept>) : {};
		return { areCautionsRead: found.areCautionsRead === true, isSetUp: found.isSetUp === true };
	} catch {
		return { areCautionsRead: false, isSetUp: false };
	}
}

/** The first run on this device: cautions once, then glass, light, hand and pen. */
export class FirstRun {
	readonly #storage: Pick<Storage, 'getItem' | 'setItem'> | null;
	#kept: FirstRunKept = $state.raw(readFirstRun(null));

	constructor(storage: Pick<Storage, 'getItem' | 'setItem'> | null = deviceStorage()) {
		this.#storage = storage;
		this.#kept = readFirstRun(storage?.getItem(storageKey) ?? null);
	}

	get areCautionsRead(): boolean {
		return this.#kept.areCautionsRead;
	}

	/** Something of the first run still stands on the first page. */
	get isOpen(): boolean {
		return !this.#kept.areCautionsRead || !this.#kept.isSetUp;
	}

	readCautions(): void {
		this.#keep({ ...this.#kept, areCautionsRead: true });
	}

	endSetUp(): void {
		this.#keep({ ...this.#kept, isSetUp: true });
	}

	setUpAgain(): void {
		this.#keep({ ...this.#kept, isSetUp: false });
	}

	#keep(next: FirstRunKept): void {
		this.#kept = next;
		try {
			this.#storage?.setItem(storageKey, JSON.stringify(next));
		} catch {
			// a full or refused store costs a second reading, never the work
		}
	}
}

function deviceStorage(): Storage | null {
	try {
		return globalThis.localStorage ?? null;
	} catch {
		return null;
	}
}
