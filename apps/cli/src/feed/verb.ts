import { randomBytes } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { fail, type Problem, type Result } from '@stillmast/core/result';
import { openKey, softwareKey } from '@stillmast/record/pen';
import { joinByInvite, openFeed, type Recorded } from '@stillmast/relay/feed';
import { refusalOf } from '../document/fault.js';
import { exitStatus, type Io } from '../io.js';
import { onlyFile, readArgs, UsageError, type Verb, wholeNumber } from '../verb.js';
import { csvFeed, type FeedSource, lineFeed, type SourceRow } from './file-source.js';
import { rehearsedFeed } from './rehearsed-source.js';

const help = `usage: stillmast feed FILE --to LINK --registration ZZ-ABC [--speed N] [--source NAME] [--json]
       stillmast feed --rehearsal --to LINK --registration ZZ-ABC [--seed N]

Sends live gauges into a record: whoever is in it watches them, and the host records them whole, as traces that it
signs. FILE is a trace (CSV: header row, first column timeS, further columns parameter ids) or, ending in .ndjson,
lines of stillmast/feed@1; - is CSV from standard input.

  --to LINK            a pilot's, engineer's or (in a rehearsal) instructor's invitation, as the board makes it
  --registration TEXT  of the aircraft that the file is from; a record of another aircraft refuses it
  --speed N            times real time (1 unless stated; 0 sends as fast as the host takes it)
  --source NAME        tells feeds of one aircraft apart (the file's name unless stated)
  --rehearsal          a scripted pilot on the simulated helicopter instead of a file
  --seed N             of that pilot (1 unless stated)
  --json               what was recorded as JSON and nothing else

Exit status: 0 recorded whole; 1 the host took it in part or not at all; 2 wrong file or usage.
`;

const options = {
	to: { type: 'string' },
	registration: { type: 'string' },
	speed: { type: 'string' },
	source: { type: 'string' },
	rehearsal: { type: 'boolean' },
	seed: { type: 'string' },
	json: { type: 'boolean' },
} as const;

/** `stillmast feed`. */
export const feedVerb: Verb = {
	name: 'feed',
	summary: 'live gauges from a file or a rehearsal into a record',
	help,
	run: async (args, io) => {
		const { values, positionals } = readArgs(args, options);
		const link = linkOf(values.to);
		const { registration } = values;
		if (registration === undefined) throw new UsageError('--registration is missing: of which aircraft is this?');
		const isRehearsal = values.rehearsal === true;
		if (isRehearsal && positionals.length > 0) throw new UsageError('a rehearsal takes no file');
		const file = isRehearsal ? 'rehearsal' : onlyFile(positionals, 'FILE');
		const seed = wholeNumber(values.seed ?? '1', '--seed', 0, 2 ** 31 - 1);
		const source = isRehearsal ? rehearsedFeed(seed) : fileSource(file, io);
		const speed = Number(values.speed ?? '1');
		if (!(speed >= 0 && speed <= 100_000)) throw new UsageError(`--speed is "${values.speed}"; needed: 0 to 100000`);
		const sent = await send(source, link, { registration, name: values.source ?? nameOf(file), speed, io });
		if (!sent.ok) {
			const refusal = refusalOf(sent.problem);
			if (values.json === true) await io.out(`${JSON.stringify({ error: refusal })}\n`);
			await io.err(`stillmast feed: ${refusal.words}\n`);
			return sent.problem.path === undefined ? exitStatus.notInOrder : exitStatus.wrongInput;
		}
		await io.out(values.json === true ? `${JSON.stringify(sent.value)}\n` : wordsOf(sent.value));
		return exitStatus.fine;
	},
};

interface Link {
	readonly url: string;
	readonly secret: string;
}

function linkOf(to: string | undefined): Link {
	if (to === undefined) throw new UsageError('--to is missing: an invitation link of the board');
	const url = URL.canParse(to) ? new URL(to) : null;
	if (url === null || url.hash.length < 2) {
		throw new UsageError(`--to is "${to.slice(0, 60)}"; needed: an invitation, such as http://host/join#secret`);
	}
	return { url: url.origin, secret: url.hash.slice(1) };
}

function fileSource(file: string, io: Io): FeedSource {
	const bytes = file === '-' ? io.input : createReadStream(file, { highWaterMark: 1 << 16 });
	return file.endsWith('.ndjson') ? lineFeed(bytes) : csvFeed(bytes);
}

interface Sending {
	readonly registration: string;
	readonly name: string;
	readonly speed: number;
	readonly io: Io;
}

async function send(source: FeedSource, link: Link, how: Sending): Promise<Result<Recorded, Problem>> {
	const rows = source();
	try {
		const first = await rows.next();
		if (first.done === true) return fail({ code: 'no-rows', path: '$' });
		if (!first.value.ok) return first.value;
		const key = openKey(softwareKey(new Uint8Array(randomBytes(32))));
		const joined = await joinByInvite(link.url, link.secret, key, how.name);
		if (!joined.ok) return joined;
		const { channels } = first.value.value;
		const feed = await openFeed(
			{ url: link.url, record: joined.value.record, key },
			{ format: 'stillmast/feed@1', source: how.name, registration: how.registration, channels },
		);
		if (!feed.ok) return feed;
		const beganMs = how.io.nowMs();
		let startS: number | null = null;
		for (let next: IteratorResult<Result<SourceRow, Problem>, void> = first; !next.done; next = await rows.next()) {
			if (!next.value.ok) {
				await feed.value.finish();
				return next.value;
			}
			const { sample } = next.value.value;
			startS ??= sample.timeS;
			if (how.speed > 0) await until(beganMs + ((sample.timeS - startS) * 1000) / how.speed, how.io);
			const sent = await feed.value.send(sample);
			if (!sent.ok) return sent;
		}
		return await feed.value.finish();
	} catch (error) {
		const code = (error as NodeJS.ErrnoException).code;
		if (code === undefined) throw error;
		return fail({ code: code === 'ENOENT' ? 'no-file' : 'unreadable', found: code, path: '$' });
	}
}

/** A time that has gone by, or lies back because the source jumped, is not waited for; nor is a gap for ever. */
async function until(atMs: number, io: Io): Promise<void> {
	const waitMs = Math.min(60_000, atMs - io.nowMs());
	if (waitMs > 1) await new Promise((resolve) => setTimeout(resolve, waitMs));
}

function nameOf(file: string): string {
	return (file.split(/[\\/]/).at(-1) ?? file).slice(0, 120);
}

function wordsOf({ rows, entries, gaps, repeats, backward }: Recorded): string {
	const faults = [
		[gaps, 'gaps'],
		[repeats, 'repeated times'],
		[backward, 'times going back'],
	] as const;
	const found = faults.filter(([count]) => count > 0).map(([count, words]) => `${count} ${words}`);
	const kept = `Recorded: ${rows} rows in ${entries} ${entries === 1 ? 'entry' : 'entries'}`;
	return `${kept}${found.length === 0 ? '' : `; kept as they came: ${found.join(', ')}`}.\n`;
}
