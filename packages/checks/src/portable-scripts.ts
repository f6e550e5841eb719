import ts from 'typescript';
import type { Finding, TextFile } from './finding.js';
import { parseProgram } from './scripts-in.js';

/** What a manifest's script must not hold: words and signs that one system's shell knows and another's does not. `&&` is known to all. */
const shellOnly = /\b(?:rm|cp|mv|mkdir|cat|export|set)\s|[;|<>$`'\\*]|(?<!&)&(?!&)/;

/** The programs under scripts/ run before anything is installed, on any system: no shell, no paths joined by hand. */
export function checkPortableScripts(files: readonly TextFile[]): readonly Finding[] {
	return files.flatMap((file) => {
		if (/^scripts\/.+\.mjs$/.test(file.path)) return programFindings(file);
		if (/(^|\/)package\.json$/.test(file.path)) return manifestFindings(file);
		return [];
	});
}

function manifestFindings(file: TextFile): readonly Finding[] {
	const { scripts = {} } = JSON.parse(file.text) as { readonly scripts?: Readonly<Record<string, string>> };
	return Object.entries(scripts)
		.filter(([, text]) => shellOnly.test(text))
		.map(([name, text]) => ({
			check: 'portable-scripts',
			file: file.path,
			found: `script ${name}: ${text}`,
			allowed: 'a command that any system runs',
		}));
}

function programFindings(file: TextFile): readonly Finding[] {
	const source = parseProgram(file);
	const found: Finding[] = [];
	const visit = (node: ts.Node): void => {
		const allowed = complaintAbout(node);
		if (allowed !== undefined) {
			const line = source.getLineAndCharacterOfPosition(node.getStart()).line + 1;
			found.push({ check: 'portable-scripts', file: file.path, line, found: node.getText().slice(0, 80), allowed });
		}
		ts.forEachChild(node, visit);
	};
	visit(source);
	return found;
}

function complaintAbout(node: ts.Node): string | undefined {
	if (ts.isImportSpecifier(node) && /^exec(Sync)?$/.test((node.propertyName ?? node.name).text)) {
		return 'spawn with a program and its arguments';
	}
	if (ts.isPropertyAssignment(node) && node.name.getText() === 'shell') return 'no shell';
	if (!ts.isStringLiteralLike(node) || ts.isImportDeclaration(node.parent)) return undefined;
	if (/\.(cmd|bat|sh)$/.test(node.text)) return 'the program behind it, run by process.execPath';
	if (/^[\w.-]+(\/[\w.-]+)+$/.test(node.text) || /^[\w.-]*(\\[\w.-]+)+$/.test(node.text)) return 'path.join';
	return undefined;
}
