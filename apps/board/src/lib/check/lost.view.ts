import type { EntryOf } from '@stillmast/formats/entry';
import type { RecordState } from '@stillmast/record';
import { type DeviceLine, deviceLines } from '$lib/pass-on/devices.view.js';
import { fill } from '$lib/words/fill.js';
import { lost as words } from '$lib/words/lost.js';
import { type EntryNames, entryWords } from './entry-words.view.js';

/** Devices that a signer gives up, each with the last entry of it that counts here and why. */
export type LostDevices = NonNullable<EntryOf<'signature'>['lost']>;

/** A device that was given up when the check was signed last, and what has come of it since. */
export interface GivenUp {
	readonly key: string;
	readonly text: string;
	/** Entries of it that came after the signature, in words. */
	readonly late: readonly string[];
}

/** Devices that can be named as lost: everybody's but the signer's own. */
export function namable(state: RecordState, ownKey: string): DeviceLine[] {
	return deviceLines(state).filter(({ key }) => key !== ownKey);
}

/**
 * Devices given up by whoever signs now: those named, and those that the other signer gave up if this is the second
 * signature of the same.
 * @param reasons why each device named will not come back, by key
 */
export function lostDevices(state: RecordState, reasons: Readonly<Record<string, string>>): LostDevices {
	const newest = state.signing.contents.at(-1);
	const byOther = newest !== undefined && newest.added.length === 0 ? newest.lost : [];
	const named = deviceLines(state)
		.filter(({ key }) => Object.hasOwn(reasons, key) && byOther.every((one) => one.key !== key))
		.map(({ key, last }) => ({ key, last, reason: reasons[key]?.trim() ?? '' }));
	return [...byOther, ...named];
}

/** Entries known to exist and not here that naming these devices leaves unexplained. */
export function stillWaiting({ waiting }: RecordState, lost: LostDevices): number {
	return waiting
		.filter(({ by }) => (by === null ? lost.length === 0 : lost.every(({ key }) => key !== by)))
		.reduce((sum, { count }) => sum + count, 0);
}

/** What the signer declares of them, as it stands in the signed words; empty when none is named. */
export function lostStatement(state: RecordState, lost: LostDevices): string {
	const lines = deviceLines(state);
	return lost
		.map(({ key, reason }) => {
			const line = lines.find((one) => one.key === key);
			const who = fill(words.signedWithout, { name: line?.name ?? key, role: line?.role ?? '', reason });
			return [who, sentence(line?.heard ?? ''), line?.missing == null ? '' : sentence(line.missing)]
				.filter((one) => one !== '')
				.join(' ');
		})
		.join(' ');
}

/** The devices given up by the newest signing, with what came of them since. */
export function givenUp(state: RecordState, names: EntryNames): GivenUp[] {
	const newest = state.signing.contents.at(-1);
	const lines = deviceLines(state);
	return (newest?.lost ?? []).map(({ key, reason }) => {
		const line = lines.find((one) => one.key === key);
		return {
			key,
			text: fill(words.signedWithout, { name: line?.name ?? key, role: line?.role ?? '', reason }),
			late: (newest?.added ?? [])
				.flatMap((hash) => state.judged.get(hash)?.entry ?? [])
				.filter(({ by }) => by === key)
				.map((entry) => entryWords(entry, names)),
		};
	});
}

function sentence(text: string): string {
	return text === '' ? '' : `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
