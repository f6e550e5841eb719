import type { Role } from '@stillmast/formats/entry';
import { type Imported, importRecord } from '@stillmast/record/file';
import type { PenKey } from '@stillmast/record/pen';
import { parseJson } from '../http/json-body.js';
import { type Answer, answered, refused } from '../http/routes.js';
import { type AdoptProblem, adoptFile } from '../room/adopt.js';
import type { Hall } from '../room/hall.js';
import { trustOf } from '../room/trust.js';
import type { Store } from '../store/store.js';
import type { Welcome } from './welcome.js';

export interface UploadPorts {
	readonly hall: Hall;
	readonly store: Store;
	readonly host: PenKey;
	readonly welcome: Welcome | null;
}

/** Roles whose bearers may bring a new check to a host where they are known; an instructor, a rehearsal only. */
const CREW: readonly string[] = ['pilot', 'engineer'] satisfies Role[];
const TEACHERS: readonly string[] = [...CREW, 'instructor'];

/**
 * Takes a record that somebody brings. The file proves itself: its creator signed the enrolment of this very host, and
 * is pilot or engineer (for a rehearsal, or instructor) in a record that is here, or was welcomed by the operator as the
 * first; who carries it does not matter. @rule RLY-46
 * @param text the record file, or its text as one JSON string
 */
export async function takeUpload({ hall, store, host, welcome }: UploadPorts, text: string): Promise<Answer> {
	const imported = await importRecord(fileText(text), null);
	if (!imported.ok) return refused(422, imported.problem.code, { problem: imported.problem });
	const trust = trustOf(imported.value.set);
	if (trust.roleOf(host.fingerprint) !== 'host') return refused(409, 'host-not-enrolled', { hostKey: host.publicKey });
	const known = trust.creator === null ? [] : await store.memberships(trust.creator);
	const may = trust.purpose === 'rehearsal' ? TEACHERS : CREW;
	const isWelcome = trust.creator !== null && welcome?.admits(trust.creator) === true;
	if (!isWelcome && !known.some(({ role, revoked }) => !revoked && may.includes(role)))
		return refused(403, 'not-crew-here');
	return answerOf(imported.value, await adoptFile(hall, imported.value));
}

function answerOf({ record, fresh }: Imported, adopted: AdoptProblem | null): Answer {
	if (adopted === null) return answered({ record, entries: fresh.length });
	return refused(adopted.code === 'store-trouble' ? 503 : 422, adopted.code, { problem: adopted });
}

function fileText(text: string): string {
	if (!text.startsWith('"')) return text;
	const inner = parseJson(text);
	return inner.ok && typeof inner.value === 'string' ? inner.value : text;
}
