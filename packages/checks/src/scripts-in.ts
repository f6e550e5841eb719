import ts from 'typescript';
import { lineAt, type TextFile } from './finding.js';

export interface Import {
	readonly specifier: string;
	readonly line: number;
}

const scriptBlock = /<script\b[^>]*>([\s\S]*?)<\/script>/g;

/** The program text of a file: all of it, or what a component has in its script blocks, on the same lines. */
export function programText(file: TextFile): string {
	if (!file.path.endsWith('.svelte')) return file.text;
	let out = '';
	for (const match of file.text.matchAll(scriptBlock)) {
		const body = match[1] ?? '';
		const start = match.index + match[0].indexOf(body);
		const linesBefore = lineAt(file.text, start) - 1;
		out += '\n'.repeat(Math.max(0, linesBefore - (out.split('\n').length - 1))) + body;
	}
	return out;
}

/** True for what this repository compiles or runs. */
export function isProgram(file: TextFile): boolean {
	return /\.(ts|mjs|js|svelte)$/.test(file.path) && !file.path.endsWith('.d.ts');
}

/** The parsed program of a file. */
export function parseProgram(file: TextFile): ts.SourceFile {
	return ts.createSourceFile(file.path, programText(file), ts.ScriptTarget.ES2022, true, ts.ScriptKind.TS);
}

/** Every import, export … from, type import and dynamic import with a literal; read by the scanner, without a parse. */
export function importsOf(file: TextFile): readonly Import[] {
	const text = programText(file);
	return ts
		.preProcessFile(text, true, true)
		.importedFiles.map(({ fileName, pos }) => ({ specifier: fileName, line: lineAt(text, pos) }));
}
