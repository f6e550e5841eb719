import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { exportRecord, importRecord, verifyRecordFile } from '../src/index.js';

/*
 * A record file of every kind, written once by version 1 of the format (people, aircraft and numbers invented) and
 * never edited: what was signed then must verify by whatever is built now.
 */
const file = readFileSync(new URL('golden/every-kind.check.json', import.meta.url));

describe('golden/every-kind.check.json', () => {
	it('[REC-85] verifies: whole, signed by both, with every kind counted', async () => {
		const report = await verifyRecordFile(file);
		expect(report.faults).toEqual([]);
		expect(report).toMatchObject({
			whole: true,
			signedAndWhole: true,
			record: 'DIMb8VUQ-VspZw_oo6MUhFvD6kEMPr-imwTTs15sY5o',
			signing: { state: 'signed', contents: [{ content: 'c8yL4PUb_9o6ubNc2GKfh22YABh7uvOFUqW64UqGMW4', number: 1 }] },
		});
		const kinds = Object.entries(report.state?.of ?? {}).filter(([, entries]) => entries.length > 0);
		expect(kinds.map(([kind]) => kind)).toEqual(Object.keys(report.state?.of ?? {}));
	});

	it('[REC-85] exports again to the same bytes', async () => {
		const imported = await importRecord(file, null);
		if (!imported.ok) throw new Error(JSON.stringify(imported.problem));
		const { set, blobs } = imported.value;
		expect(exportRecord(set, (hash) => blobs.get(hash)).text).toBe(file.toString('utf8'));
	});
});
