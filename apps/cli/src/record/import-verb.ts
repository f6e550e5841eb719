import { ok, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import { type Imported, importRecord } from '@stillmast/record/file';
import { fingerprint } from '@stillmast/record/hash';
import { startRelay } from '@stillmast/relay';
import { dataFolder, type HeldFolder, holdFolder } from '../data-folder/folder.js';
import { readRecord } from '../data-folder/records.js';
import { refusalOf } from '../document/fault.js';
import { decodeText, readFileBytes } from '../document/read-file.js';
import { exitStatus } from '../io.js';
import { onlyFile, readArgs, type Verb } from '../verb.js';
import { faultForPeople } from './report-for-people.js';

const help = `usage: stillmast import FILE.check.json [--data FOLDER] [--dry-run]

Verifies a record file, tells what in it is new here and from whom, and adds it by hash to the
records of a folder. Anybody may carry a file, whoever made its entries. Nothing that is here is
changed. The board must be stopped meanwhile; while it runs, bring the file by its own pages.

  --data FOLDER   where records are kept (DATA, else the folder data here)
  --dry-run       tells, and adds nothing

Exit status: 0 added, or nothing new; 1 the file is not in order; 2 file not there or wrong usage.
`;

const flags = { data: { type: 'string' }, 'dry-run': { type: 'boolean' } } as const;

/** `stillmast import`. */
export const importVerb: Verb = {
	name: 'import',
	summary: 'adds the entries of a record file to what is kept here',
	help,
	run: async (args, io) => {
		const { values, positionals } = readArgs(args, flags);
		const file = onlyFile(positionals, 'FILE.check.json');
		const bytes = await readFileBytes(file);
		const text = bytes.ok ? decodeText(bytes.value) : bytes;
		if (!text.ok) {
			await io.err(`stillmast import: ${refusalOf(text.problem).words}\n`);
			return text.problem.code === 'not-utf8' ? exitStatus.notInOrder : exitStatus.wrongInput;
		}
		// Judged before the folder is touched: a file that is not in order leaves nothing behind.
		const sound = await importRecord(text.value, null);
		if (!sound.ok) {
			const { problem } = sound;
			const words = problem.code === 'file-unsound' ? faultForPeople(problem.fault) : refusalOf(problem).words;
			await io.err(`stillmast import: ${file} is not in order: ${words}\n`);
			return exitStatus.notInOrder;
		}
		const held = await holdFolder(dataFolder(values.data, io.env));
		if (!held.ok) {
			await io.err(`stillmast import: ${refusalOf(held.problem).words}\n`);
			return exitStatus.wrongInput;
		}
		const done = await addTo(held.value, text.value, sound.value, values['dry-run'] === true);
		if (!done.ok) {
			await io.err(`stillmast import: ${refusalOf(done.problem).words}\n`);
			return exitStatus.notInOrder;
		}
		await io.out(newsForPeople(done.value, values['dry-run'] === true));
		return exitStatus.fine;
	},
};

/** What is new here; added by a host that listens to nobody but this machine and is stopped at once. */
async function addTo(
	{ store, release }: HeldFolder,
	text: string,
	{ record }: Imported,
	dryRun: boolean,
): Promise<Result<Imported>> {
	try {
		const here = await readRecord(store, record);
		if (!here.ok) return here;
		const news = await importRecord(text, here.value.set);
		if (!news.ok || dryRun || news.value.fresh.length === 0) {
			await store.close();
			return news;
		}
		const relay = await startRelay({ port: 0, dataDir: '', store, log: () => undefined });
		const added = await relay.importRecordFile(text);
		await relay.stop();
		return added.ok ? ok(news.value) : added;
	} finally {
		await release();
	}
}

function newsForPeople({ record, fresh, from, set }: Imported, dryRun: boolean): string {
	const names = new Map(set.inOrder().flatMap(nameOf));
	const verb = dryRun ? 'would be added' : 'added';
	const lines = [
		`record ${record}`,
		fresh.length === 0 ? 'nothing new: every entry is here already' : `${fresh.length} new entries ${verb}`,
		...[...from].map(([key, count]) => `  ${String(count).padStart(5)} of ${names.get(key) ?? key}`),
	];
	return `${lines.join('\n')}\n`;
}

/** The declared name of whom an entry brings in, by key. */
function nameOf(entry: Entry): readonly (readonly [string, string])[] {
	const { kind, name, publicKey } = entry;
	if (typeof name !== 'string') return [];
	if (kind === 'opened') return [[entry.by, name]];
	return kind === 'enrolled' && typeof publicKey === 'string' ? [[fingerprint(publicKey), name]] : [];
}
