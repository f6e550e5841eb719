import type { RecordState } from '@stillmast/record/fold';

/** Columns of the exported table; `docs/formats/record-csv.md` says the same at more length. */
const columns = [
	'flight',
	'run',
	'kind',
	'subject',
	'value',
	'unit',
	'phaseDeg',
	'standing',
	'at',
	'by',
	'role',
	'hash',
] as const;

type Row = Readonly<Partial<Record<(typeof columns)[number], string | number | boolean | null>>>;

/**
 * Every value of a record as one row each, for spreadsheets: readings, vibrations, settings and header fields that
 * count, struck ones included and marked. Two that differ are two rows.
 */
export function valuesCsv(state: RecordState): string {
	const rows = [...state.judged.values()].flatMap(({ entry, judgement }): readonly Row[] => {
		if (judgement.state !== 'counts' && judgement.state !== 'struck') return [];
		const person = state.people.get(entry.by);
		const common = {
			kind: entry.kind,
			standing: judgement.state,
			at: entry.at,
			by: person?.name ?? entry.by,
			role: person?.role ?? '',
			hash: entry.hash,
		};
		return valuesOf(entry as unknown as Valued).map((value) => ({ ...common, ...value }));
	});
	return [columns.join(','), ...rows.map((row) => columns.map((column) => cell(row[column])).join(','))]
		.map((line) => `${line}\r\n`)
		.join('');
}

type KnownEntry = RecordState['of'][keyof RecordState['of']][number];
type Valued = Extract<KnownEntry, { readonly kind: 'reading' | 'vibration' | 'adjustment' | 'header' }>;

function valuesOf(entry: Valued): readonly Row[] {
	switch (entry.kind) {
		case 'reading':
			return [{ flight: entry.flight, run: entry.run, subject: entry.subject, value: entry.value, unit: entry.unit }];
		case 'vibration':
			return [
				{
					flight: entry.flight,
					run: entry.run,
					subject: `${entry.rotor}/${entry.channel}`,
					value: entry.amplitudeIps,
					unit: 'ips',
					phaseDeg: entry.phaseDeg,
				},
			];
		case 'adjustment':
			return Object.entries(entry.settings).map(([adjuster, value]) => ({
				flight: entry.after,
				subject: `${entry.rotor}/${adjuster} ${entry.stage}`,
				value,
			}));
		case 'header':
			return [{ subject: entry.field, value: entry.value, unit: entry.unit }];
		default:
			return [];
	}
}

/**
 * RFC 4180. A text that a spreadsheet would take for a formula gets a quote before it: names and remarks come from
 * other people.
 */
function cell(value: string | number | boolean | null | undefined): string {
	if (value === null || value === undefined) return '';
	if (typeof value !== 'string') return String(value);
	const harmless = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
	return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}
