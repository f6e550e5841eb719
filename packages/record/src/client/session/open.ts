import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { FieldsOf } from '@stillmast/formats/entry';
import type { EntrySet } from '../../set/entry-set.js';
import { openRecord } from '../../writer/chain-writer.js';
import type { RecordRow } from '../store/index.js';
import { bringRecord } from './bring.js';
import { fromDisk } from './from-disk.js';
import { type HostClock, hostClock } from './host-clock.js';
import { Intake } from './intake.js';
import { LiveSession, type SessionParts, writerOptions } from './session.js';
import type { ClientPorts, Hand, Session } from './types.js';

/**
 * Opens a record that this device has, or has just joined: everything on the disk is there when it resolves, the host
 * follows. Trouble with the disk does not keep it from opening; it stands in `status.problems`.
 */
export async function openSession(ports: ClientPorts, record: string, hand: Hand): Promise<Session> {
	const rows = await ports.store.all('records');
	const row = rows.ok ? rows.value.find(({ key }) => key === record) : undefined;
	const { set, intake, problems } = await fromDisk(ports.store, record);
	const session = new LiveSession(partsOf(ports, set, intake, hand, hostClock(ports.clock), problems, row));
	if (row) session.places.acknowledge(row.storedHeads);
	return session;
}

export interface NewCheck {
	readonly fields: Omit<FieldsOf<'opened'>, 'nonce'>;
	/** Card and type data, whose names stand in `fields`, and whatever belongs to them. */
	readonly blobs: readonly Uint8Array[];
}

/**
 * Begins a record on this device, host or no host: the record's id is the hash of its first entry. Where there is a
 * host, the record is brought there by the session itself.
 */
export async function openCheck(
	ports: ClientPorts,
	hand: Hand,
	{ fields, blobs }: NewCheck,
): Promise<Result<Session, Problem>> {
	const clock = hostClock(ports.clock);
	const opened = await openRecord(writerOptions(ports, hand, clock), fields);
	if (!opened.ok) return opened;
	const { set, writer, opened: entry } = opened.value;
	const row: RecordRow = {
		key: set.record,
		hostName: ports.network?.hostName ?? null,
		hostKey: null,
		penKey: hand.key.publicKey,
		role: fields.role,
		name: fields.name,
		openedAtMs: ports.clock.nowMs(),
		storedHeads: [],
		lastContactMs: null,
	};
	const kept = await ports.store.put('records', row);
	const problems = kept.ok ? [] : [kept.problem];
	const session = new LiveSession(partsOf(ports, set, new Intake(set), hand, clock, problems, row), writer);
	const first = set.get(entry.hash);
	if (first) session.sendOff(first);
	for (const bytes of blobs) {
		const put = await session.putBlob(bytes);
		if (put.ok) continue;
		session.close();
		return fail(put.problem);
	}
	return ok(session);
}

function partsOf(
	ports: ClientPorts,
	set: EntrySet,
	intake: Intake,
	hand: Hand,
	clock: HostClock,
	problems: readonly Problem[],
	row: RecordRow | undefined,
): SessionParts {
	return {
		ports,
		set,
		intake,
		hand,
		hostClock: clock,
		problems,
		lastContactMs: row?.lastContactMs ?? null,
		bringRecord: (session) => bringRecord(ports, hand, session),
		remember: (session) => {
			if (!row) return;
			const { lastContactMs } = session.status;
			const host = [...session.state.people.values()].find(({ role }) => role === 'host');
			const hostKey = host?.publicKey ?? row.hostKey;
			void ports.store.put('records', { ...row, hostKey, lastContactMs, storedHeads: session.places.acknowledged() });
		},
	};
}
