import { BYTES_32 } from '@stillmast/formats/entry';
import { type VerifyReport, verifyRecordFile } from '@stillmast/record/file';
import { refusalOf } from '../document/fault.js';
import { readFileBytes } from '../document/read-file.js';
import { exitStatus } from '../io.js';
import { onlyFile, readArgs, UsageError, type Verb } from '../verb.js';
import { faultForPeople, reportForPeople } from './report-for-people.js';

const help = `usage: stillmast verify FILE.check.json [--trust FINGERPRINT]... [--json]

Verifies a record file by nothing but its bytes: that it is its own canonical form, its digest,
every entry's hash and signature, chains, enrolment, and what each signature covers.

  --trust FINGERPRINT  the key of the record's creator, or of a host that wrote in it, must be
                       one of these (it stands on the invitation page, the export and the print)
  --json               the report as JSON and nothing else

Exit status: 0 signed by all who were asked and whole; 1 anything else, naming the first entry
or byte that is not in order; 2 file not there or wrong usage.
`;

const flags = { trust: { type: 'string', multiple: true }, json: { type: 'boolean' } } as const;

/** `stillmast verify`. */
export const verifyVerb: Verb = {
	name: 'verify',
	summary: 'whether a record file is whole and signed',
	help,
	run: async (args, io) => {
		const { values, positionals } = readArgs(args, flags);
		const file = onlyFile(positionals, 'FILE.check.json');
		const wrongKey = values.trust?.find((key) => !BYTES_32.test(key));
		if (wrongKey !== undefined) {
			throw new UsageError(`--trust is "${wrongKey}"; needed: a fingerprint, 43 letters, digits, - and _`);
		}
		const bytes = await readFileBytes(file);
		if (!bytes.ok) {
			const refusal = refusalOf(bytes.problem);
			if (values.json === true) await io.out(`${JSON.stringify({ error: refusal })}\n`);
			await io.err(`stillmast verify: ${refusal.words}\n`);
			return bytes.problem.code === 'too-large' ? exitStatus.notInOrder : exitStatus.wrongInput;
		}
		const report = await verifyRecordFile(bytes.value, values.trust === undefined ? {} : { trust: values.trust });
		await io.out(values.json === true ? `${JSON.stringify(reportAsJson(report), null, 2)}\n` : reportForPeople(report));
		return report.signedAndWhole ? exitStatus.fine : exitStatus.notInOrder;
	},
};

/** The report without the whole state, and with the first fault in words. */
function reportAsJson({ state: _state, signing, notCounted, ...report }: VerifyReport): unknown {
	return {
		format: 'stillmast/verified@1',
		...report,
		firstFault: report.faults[0] === undefined ? null : faultForPeople(report.faults[0]),
		notCounted: notCounted.map(({ entry, judgement }) => ({
			hash: entry.hash,
			kind: entry.kind,
			by: entry.by,
			judgement,
		})),
		signing: signing === null ? null : { state: signing.state, rolesAsked: signing.rolesAsked, added: signing.added },
	};
}
