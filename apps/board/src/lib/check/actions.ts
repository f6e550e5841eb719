import type { Problem, Result } from '@stillmast/core/result';
import type { EntryOf, FieldsOf, Kind } from '@stillmast/formats/entry';
import type { Session } from '@stillmast/record/client';
import { shortCardContext } from '@stillmast/record/judge';

/**
 * What people do on the board, each as the entries it writes. Nothing here decides anything: the fold and the core do.
 * All answer with the first problem, or nothing.
 */

type Writer = Pick<Session, 'write'>;
export type Done = Result<void, Problem>;

const done: Done = { ok: true, value: undefined };

/** Writes one entry after the other. */
export async function all(...writes: readonly (() => Promise<Result<unknown, Problem>>)[]): Promise<Done> {
	for (const write of writes) {
		const written = await write();
		if (!written.ok) return written;
	}
	return done;
}

/**
 * @param opening the fields of the flight that is opened, with the conditions known before it
 * @param steps ids of a short card; the whole card without
 */
export function beginFlight(session: Writer, opening: FieldsOf<'flight'>, steps?: readonly string[]): Promise<Done> {
	const { flight } = opening;
	return all(
		() => session.write('flight', opening),
		...(steps === undefined ? [] : [() => session.write('run', shortCardContext(flight, 1, steps))]),
		() => session.write('run', { flight, run: 1, state: 'begun', regime: null }),
	);
}

export function endFlight(session: Writer, flight: number, run: number): Promise<Done> {
	return all(
		() => session.write('run', { flight, run, state: 'ended', regime: null }),
		() => session.write('flight', { flight, state: 'closed' }),
	);
}

export interface AtStep {
	readonly flight: number;
	readonly run: number;
	readonly step: string;
}

export function writeVibration(
	session: Writer,
	at: AtStep,
	reading: {
		readonly rotor: string;
		readonly channel: string;
		readonly amplitudeIps: number;
		readonly phaseDeg: number | null;
	},
): Promise<Done> {
	return all(() => session.write('vibration', { flight: at.flight, run: at.run, ...reading }));
}

export function writeReading(
	session: Writer,
	at: AtStep,
	reading: {
		readonly subject: string;
		readonly value: number | boolean;
		readonly unit: string;
		readonly resolution?: number;
	},
): Promise<Done> {
	return all(() => session.write('reading', { ...at, ...reading }));
}

export function finishStep(session: Writer, at: AtStep, state: 'done' | 'later', reason?: string): Promise<Done> {
	const said = reason === undefined ? {} : { reason };
	return all(() => session.write('step', { flight: at.flight, step: at.step, state, ...said }));
}

/** A condition kept for a time: whole, or left too early. */
export function writeHold(
	session: Writer,
	at: AtStep,
	held: { readonly field: string; readonly neededS: number; readonly heldS: number; readonly complete: boolean },
): Promise<Done> {
	const because = held.complete ? {} : { because: ['left'] };
	return all(() => session.write('hold', { ...at, ...held, ...because }));
}

/** One tap at a moment worth finding again. `text` says more: "measured" keeps the time, the number follows. */
export function mark(session: Writer, at: AtStep, text?: string): Promise<Done> {
	const said = text === undefined ? {} : { text };
	return all(() => session.write('mark', { flight: at.flight, step: at.step, ...said }));
}

export function adjust(
	session: Writer,
	rotor: string,
	after: number,
	stage: 'found' | 'made' | 'measured',
	settings: Readonly<Record<string, number>>,
): Promise<Done> {
	return all(() => session.write('adjustment', { rotor, after, stage, settings }));
}

/** What can be answered with one tap. */
export type Answer = NonNullable<EntryOf<'reply'>['answer']>;

export function answerMessage(session: Writer, to: string, answer: Answer): Promise<Done> {
	return all(() => session.write('reply', { to, answer }));
}

export interface Proposed {
	readonly rotor: string;
	readonly after: number;
	readonly text: string;
	readonly words: readonly string[];
	readonly from: Readonly<Record<string, number>>;
	readonly settings: Readonly<Record<string, number>>;
	readonly predicted?: EntryOf<'proposal'>['predicted'];
	readonly chanceAllWithinLimit?: number;
	readonly chanceAllWithinGoal?: number;
	readonly proved?: boolean;
}

export function propose(session: Writer, proposed: Proposed): Promise<Result<EntryOf<'proposal'>, Problem>> {
	return session.write('proposal', { about: 'adjustment', ...proposed });
}

/** Takes a proposal up: says so, and writes down what is meant to be done. */
export async function useProposal(session: Writer, proposed: Proposed): Promise<Done> {
	const written = await propose(session, proposed);
	if (!written.ok) return written;
	return useWritten(session, written.value);
}

/** Takes up a proposal that stands in the record, whoever wrote it. */
export function useWritten(session: Writer, written: EntryOf<'proposal'>): Promise<Done> {
	const { rotor, after, settings, hash: proposal } = written;
	if (rotor === undefined || after === undefined || settings === undefined) return all();
	return all(
		() => session.write('use', { what: 'proposal', proposal }),
		() => session.write('adjustment', { rotor, after, stage: 'planned', settings, proposal }),
	);
}

/** Chooses one of several entries that differ. */
export function agree(
	session: Writer,
	chosen: string,
	entries: readonly EntryOf<Kind>[],
	reason: string,
): Promise<Done> {
	const over = entries.map(({ hash }) => hash).filter((hash) => hash !== chosen);
	return all(() => session.write('agree', { chosen, over, reason }));
}
