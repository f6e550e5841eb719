import type { Finding, TextFile } from './finding.js';

/** What a row of a vector file may call its basis. Invented rows live in demo-scenarios, not here. */
export const bases: readonly string[] = ['published', 'from-memory', 'reference-library', 'common-practice'];

/** Every folder of tests/vectors says where it comes from, and every row says what it rests on. */
export function checkVectors(files: readonly TextFile[]): readonly Finding[] {
	const vectors = files.filter((file) => file.path.startsWith('tests/vectors/') && file.path.split('/').length > 3);
	const folders = [...new Set(vectors.map((file) => file.path.split('/').slice(0, 3).join('/')))];
	const present = new Set(vectors.map((file) => file.path));
	return [
		...folders
			.filter((folder) => !present.has(`${folder}/SOURCE.md`))
			.map((folder) => ({
				check: 'vectors',
				file: folder,
				found: 'no SOURCE.md',
				allowed: 'a SOURCE.md beside the rows',
			})),
		...vectors.filter((file) => file.path.endsWith('.json')).flatMap(rowsWithoutBasis),
	];
}

function rowsWithoutBasis(file: TextFile): readonly Finding[] {
	const parsed: unknown = JSON.parse(file.text);
	const rows = Array.isArray(parsed) ? parsed : ((parsed as { readonly rows?: unknown }).rows ?? []);
	if (!Array.isArray(rows) || rows.length === 0) {
		return [{ check: 'vectors', file: file.path, found: 'no rows', allowed: 'an array of rows, or one under "rows"' }];
	}
	return rows.flatMap((row: { readonly id?: string; readonly basis?: string }, at): Finding[] =>
		row.basis !== undefined && bases.includes(row.basis)
			? []
			: [
					{
						check: 'vectors',
						file: file.path,
						found: `row ${row.id ?? at} with basis ${row.basis ?? 'missing'}`,
						allowed: bases.join(', '),
					},
				],
	);
}
