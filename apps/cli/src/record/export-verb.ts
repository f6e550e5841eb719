import { writeFile } from 'node:fs/promises';
import type { Result } from '@stillmast/core/result';
import { exportRecord } from '@stillmast/record/file';
import { fold, rulesOfRecord } from '@stillmast/record/fold';
import { prove } from '@stillmast/record/proof';
import { dataFolder, openFolderToRead } from '../data-folder/folder.js';
import { findRecord, type KeptRecord, readRecord } from '../data-folder/records.js';
import { refusalOf } from '../document/fault.js';
import { exitStatus } from '../io.js';
import { onlyFile, readArgs, UsageError, type Verb } from '../verb.js';
import { valuesCsv } from './values-csv.js';

const help = `usage: stillmast export RECORD [--format json|csv] [--data FOLDER] [--out FILE]

Writes a record that \`stillmast serve\` keeps. RECORD is its id, or as much of the beginning as
tells it from the others. The board may be running meanwhile.

  --format json   the record file (stillmast/check@1): verifies by itself, can be imported (default)
  --format csv    every value that counts, one a row, for spreadsheets; cannot be verified
  --data FOLDER   where records are kept (DATA, else the folder data here)
  --out FILE      into a file that is not there yet, instead of standard output

Exit status: 0 written; 1 written, but attached blobs are missing here; 2 no such record or wrong usage.
`;

const flags = { format: { type: 'string' }, data: { type: 'string' }, out: { type: 'string' } } as const;

/** `stillmast export`. */
export const exportVerb: Verb = {
	name: 'export',
	summary: 'one record as a file, or its values as a table',
	help,
	run: async (args, io) => {
		const { values, positionals } = readArgs(args, flags);
		const wanted = onlyFile(positionals, 'RECORD');
		const format = values.format ?? 'json';
		if (format !== 'json' && format !== 'csv') throw new UsageError(`--format is "${format}"; needed: json or csv`);
		const kept = await readKept(dataFolder(values.data, io.env), wanted);
		if (!kept.ok) {
			await io.err(`stillmast export: ${refusalOf(kept.problem).words}\n`);
			return exitStatus.wrongInput;
		}
		const { text, missing } = await written(kept.value, format);
		if (values.out === undefined) await io.out(text);
		else {
			try {
				await writeFile(values.out, text, { flag: 'wx' });
			} catch (error) {
				await io.err(`stillmast export: ${values.out} cannot be written (${(error as NodeJS.ErrnoException).code})\n`);
				return exitStatus.wrongInput;
			}
		}
		if (missing.length === 0) return exitStatus.fine;
		await io.err(`stillmast export: these attached blobs are not here: ${missing.join(', ')}\n`);
		return exitStatus.notInOrder;
	},
};

async function readKept(folder: string, wanted: string): Promise<Result<KeptRecord>> {
	const opened = await openFolderToRead(folder);
	if (!opened.ok) return opened;
	const store = opened.value;
	try {
		const record = await findRecord(store, wanted);
		return record.ok ? await readRecord(store, record.value) : record;
	} finally {
		await store.close();
	}
}

async function written({ set, blobs }: KeptRecord, format: 'json' | 'csv') {
	const { text, missingBlobs } = exportRecord(set, (hash) => blobs.get(hash));
	if (format === 'json') return { text, missing: missingBlobs };
	const { unproved } = await prove(set);
	const rules = rulesOfRecord(set, (hash) => blobs.get(hash));
	return { text: valuesCsv(fold(set, { rules, unproved: new Set(unproved.map(({ hash }) => hash)) })), missing: [] };
}
