import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Card } from '@stillmast/formats/card';
import type { Kind, Role } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import { mayWriteNow, type RecordState } from '@stillmast/record';
import { type EntryPlace, openSession, type Session, type SessionStatus } from '@stillmast/record/client';
import { createSubscriber } from 'svelte/reactivity';
import type { Device } from './device.js';
import { type CheckDocuments, readDocuments } from './documents.js';
import { type Pen, penFor } from './pens.js';

/** One check, live: the only bridge from a session to the board's runes. */
export class LiveCheck {
	readonly session: Session;
	readonly pen: Pen;
	readonly card: Card;
	readonly typeData: TypeData;
	readonly nowMs: () => number;
	readonly #subscribe: () => void;

	constructor(session: Session, pen: Pen, documents: CheckDocuments, nowMs: () => number) {
		this.session = session;
		this.pen = pen;
		this.card = documents.card;
		this.typeData = documents.typeData;
		this.nowMs = nowMs;
		this.#subscribe = createSubscriber((update) => session.subscribe(update));
	}

	get state(): RecordState {
		this.#subscribe();
		return this.session.state;
	}

	get status(): SessionStatus {
		this.#subscribe();
		return this.session.status;
	}

	/** Role of the pen on this page, as the record has it; null until its enrolment is here. */
	get role(): Role | null {
		return this.state.people.get(this.pen.key.fingerprint)?.role ?? null;
	}

	/** May this pen write new entries of a kind of its own? False until its enrolment is here, and once it is revoked. */
	may(kind: Kind): boolean {
		return mayWriteNow(this.state, this.pen.key.fingerprint, kind);
	}

	placeOf(hash: string): EntryPlace | null {
		this.#subscribe();
		return this.session.placeOf(hash);
	}

	close(): void {
		this.session.close();
	}
}

/**
 * Opens a check that this device has opened or joined. Card and type data come from the device, else from the host.
 * One that was opened for this device alone asks no host.
 * Problems: `record-not-on-device`, `pen-not-on-device`, `card-not-here`, `type-data-not-here`, or what a document's
 * reader found.
 */
export async function openLiveCheck(device: Device, record: string): Promise<Result<LiveCheck, Problem>> {
	const pen = await penFor(device, record);
	if (!pen.ok) return pen;
	const ports = pen.value.isAlone ? { ...device, network: null } : device;
	const session = await openSession(ports, record, { key: pen.value.key, unlocked: 'by-code' });
	const documents = await documentsOf(session);
	if (!documents.ok) {
		session.close();
		return documents;
	}
	return ok(new LiveCheck(session, pen.value, documents.value, device.clock.nowMs));
}

async function documentsOf(session: Session): Promise<Result<CheckDocuments, Problem>> {
	const opened = await firstEntry(session);
	if (opened === null) return fail({ code: 'record-not-here' });
	return readDocuments(opened, (hash) => session.blob(hash));
}

/** A record just joined has no entry on this device yet: the host sends them. */
async function firstEntry(session: Session): Promise<RecordState['opened']> {
	if (session.state.opened !== null) return session.state.opened;
	return new Promise((resolve) => {
		const stop = session.subscribe(() => {
			const { opened } = session.state;
			const isStopped = session.status.link.state === 'stopped';
			if (opened === null && !isStopped) return;
			stop();
			resolve(opened);
		});
	});
}
