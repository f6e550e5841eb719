import type { Entry } from '@stillmast/formats/entry';
import type { Session } from '@stillmast/record/client';
import type { Dice } from './clock.js';

/** Few subjects, so that crews that don't hear each other write down the same ones. */
const SUBJECTS = ['torquePct', 'oatC', 'fuelKg', 'ngPct'];

/** What somebody writes, chosen by the dice; `marker` stands in it, so that nothing can be there twice unnoticed. */
export async function writeSomething(session: Session, dice: Dice, marker: string): Promise<Entry> {
	const written = await choose(session, dice, marker);
	if (!written.ok) throw new Error(`could not write: ${JSON.stringify(written.problem)}`);
	return written.value as unknown as Entry;
}

/** The marker of an entry, `null` where it has none. */
export function markerOf(entry: Entry): string | null {
	const text = entry.kind === 'remark' ? entry.text : entry.kind === 'reading' ? entry.written : entry.reason;
	return typeof text === 'string' ? (text.split(' ')[0] ?? null) : null;
}

function choose(session: Session, dice: Dice, marker: string) {
	const { readings, toAgree } = session.state;
	// an agreement names at most 128 others
	const differing = toAgree.find(({ entries }) => entries[0]?.kind === 'reading' && entries.length <= 64);
	if (differing && dice.chance(0.1)) {
		const [chosen, ...over] = differing.entries.map(({ hash }) => hash);
		return session.write('agree', { chosen: chosen ?? '', over: over.sort(), reason: marker });
	}
	const struck = dice.chance(0.06) && readings.length > 0 ? dice.pick(readings).entries[0] : undefined;
	if (struck) return session.write('strike', { target: struck.hash, reason: marker });
	if (dice.chance(0.5)) {
		const text = `${marker} ${'x'.repeat(dice.chance(0.03) ? 900 : dice.between(0, 40))}`;
		return session.write('remark', { to: null, asks: dice.chance(0.1), text });
	}
	return session.write('reading', {
		flight: dice.between(1, 2),
		run: dice.between(1, 3),
		subject: dice.pick(SUBJECTS),
		value: dice.between(0, 4) * 10,
		unit: '%',
		written: marker,
	});
}
