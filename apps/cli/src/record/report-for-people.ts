import type { RecordFault, VerifyReport } from '@stillmast/record/file';

type Signing = NonNullable<VerifyReport['signing']>;
type SignedContent = Signing['contents'][number];

const faultWords: Readonly<Record<RecordFault['code'], string>> = {
	'not-utf-8': 'the bytes are not UTF-8',
	'not-json': 'the file is not JSON',
	'not-a-record-file': 'this is not a record file',
	'not-canonical': 'the bytes are not those that were exported',
	'digest-differs': 'the digest is not that of the content',
	'entry-unsound': 'an entry is not sound or was altered',
	'entry-foreign': 'an entry belongs to another record',
	'entry-order': 'the entries are not in their order',
	'blob-unsound': 'an attached blob was altered',
	'blob-spare': 'a blob is attached that no entry names',
	'blob-missing': 'a blob that an entry names is missing',
	'first-entry-missing': 'the entry that opened the record is missing',
	'signature-wrong': 'the signature of an entry does not hold',
	'key-unknown': 'the key of an entry is nowhere in the file',
	'chain-forked': 'one place of a chain was written twice',
	'entry-apart': 'an entry does not continue its chain',
	'entry-waits': 'an entry waits for one before it',
	'entries-missing': 'entries are named that the file does not hold',
	'signature-cover': 'a signature does not cover what it says',
	'not-trusted': 'no key that was trusted stands behind the record',
};

/** A fault in one line: which entry, else which place of the JSON, else which byte; then what is wrong with it. */
export function faultForPeople({ code, entry, path, offset, found, needed }: RecordFault): string {
	const place =
		entry === undefined
			? (path ?? (offset === undefined ? 'the file' : `byte ${offset}`))
			: `entry ${entry.index + 1}${entry.kind === undefined ? '' : ` (${entry.kind})`}${entry.hash === undefined ? '' : ` ${entry.hash}`}${path === undefined ? '' : `, ${path}`}`;
	const byte = entry !== undefined && offset !== undefined ? `, byte ${offset}` : '';
	const details = [
		...(found === undefined ? [] : [`found ${shown(found)}`]),
		...(needed === undefined ? [] : [`needed ${shown(needed)}`]),
	];
	return [`${place}${byte}: ${faultWords[code]}`, ...details].join('; ');
}

function shown(value: unknown): string {
	const text = typeof value === 'string' ? value : (JSON.stringify(value) ?? String(value));
	return text.length > 120 ? `${text.slice(0, 120)}…` : text;
}

const signingWords: Readonly<Record<Signing['state'], string>> = {
	unsigned: 'NOT SIGNED',
	'in-part': 'SIGNED IN PART',
	signed: 'SIGNED',
	'added-after-signing': 'ADDED TO AFTER SIGNING: needs signature again',
};

/** The report for people: the verdict first, then who stands behind the record and what was signed. */
export function reportForPeople(report: VerifyReport): string {
	const { whole, faults, record, purpose, entries, people, signing, notCounted } = report;
	const verdict = whole ? `WHOLE and ${signing === null ? 'empty' : signingWords[signing.state]}` : 'NOT IN ORDER';
	const purposeWords = purpose === null || purpose === 'flight' ? '' : ` (a ${purpose}, not a flight)`;
	const lines = [
		`${verdict}${purposeWords}`,
		...(record === null ? [] : [`record ${record}, ${entries} entries`]),
		...faults.slice(0, 10).map((fault) => `  ! ${faultForPeople(fault)}`),
		...(faults.length > 10 ? [`  ! and ${faults.length - 10} more`] : []),
		...(people.length === 0 ? [] : ['', 'Keys that may write in it']),
		...people.map(
			({ name, role, key, creator }) => `  ${role.padEnd(10)}  ${key}  ${name}${creator ? ' (opened the record)' : ''}`,
		),
		...(signing === null || signing.contents.length === 0
			? []
			: ['', 'Signatures', ...signing.contents.flatMap(signedLines)]),
		...(!whole || notCounted.length === 0 ? [] : ['', `Kept without counting: ${notCounted.length}`]),
		...(whole ? notCounted.slice(0, 10) : []).map(
			({ entry, judgement }) => `  ${entry.kind}  ${entry.hash}  ${reasonOf(judgement)}`,
		),
	];
	return `${lines.join('\n')}\n`;
}

function signedLines({ number, content, complete, signatures, added }: SignedContent): readonly string[] {
	return [
		`  content ${number}  ${content}  ${complete ? 'by all who were asked' : 'not yet by all who were asked'}`,
		...signatures.map(
			({ entry, cover }) =>
				`    ${entry.role.padEnd(10)}  ${entry.name}${entry.licence === '' ? '' : `, licence ${entry.licence}`}  ${entry.at}${cover === 'holds' ? '' : `  ! ${cover}`}`,
		),
		...(added.length === 0 ? [] : [`    ${added.length} entries were added after it`]),
	];
}

function reasonOf(judgement: VerifyReport['notCounted'][number]['judgement']): string {
	if (judgement.state === 'apart') return judgement.reason;
	return judgement.state === 'waits' ? `waits for ${judgement.for}` : '';
}
