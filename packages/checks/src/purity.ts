import ts from 'typescript';
import type { Finding, TextFile } from './finding.js';
import { numericLibraries } from './import-direction.js';
import { importsOf, parseProgram } from './scripts-in.js';

/** Names through which a clock, chance, the host or a screen would come in. */
const impureNames = new Set(
	(
		'Date performance crypto process global globalThis self window document navigator location localStorage sessionStorage ' +
		'indexedDB fetch WebSocket XMLHttpRequest Worker setTimeout setInterval setImmediate queueMicrotask requestAnimationFrame ' +
		'console require Buffer __dirname __filename'
	).split(' '),
);

/** core computes and nothing else: same input, same output, on any machine, at any hour. */
export function checkPurityOfCore(files: readonly TextFile[]): readonly Finding[] {
	return files
		.filter((file) => file.path.startsWith('packages/core/src/') && file.path.endsWith('.ts'))
		.flatMap((file) => [...impureImports(file), ...impureUses(file)]);
}

function impureImports(file: TextFile): readonly Finding[] {
	return importsOf(file)
		.filter(({ specifier }) => !specifier.startsWith('.') && !numericLibraries.includes(specifier))
		.map(({ specifier, line }) => ({
			check: 'purity-of-core',
			file: file.path,
			line,
			found: `import of ${specifier}`,
			allowed: `core's own files and ${numericLibraries.join(', ')}`,
		}));
}

function impureUses(file: TextFile): readonly Finding[] {
	const source = parseProgram(file);
	const own = declaredNames(source);
	const found: Finding[] = [];
	const report = (node: ts.Node, what: string): void => {
		const line = source.getLineAndCharacterOfPosition(node.getStart()).line + 1;
		found.push({
			check: 'purity-of-core',
			file: file.path,
			line,
			found: what,
			allowed: 'values passed in by the caller',
		});
	};
	const visit = (node: ts.Node): void => {
		if (ts.isPropertyAccessExpression(node) && node.expression.getText() === 'Math' && node.name.text === 'random') {
			report(node, 'Math.random');
		} else if (ts.isIdentifier(node) && impureNames.has(node.text) && !own.has(node.text) && isFreeUse(node)) {
			report(node, node.text);
		} else if (ts.isMetaProperty(node)) {
			report(node, node.getText());
		}
		ts.forEachChild(node, visit);
	};
	visit(source);
	return found;
}

/** Names the file gives to things of its own: variables, parameters, functions, types, imports. */
function declaredNames(source: ts.SourceFile): ReadonlySet<string> {
	const names = new Set<string>();
	const visit = (node: ts.Node): void => {
		const isDeclaration =
			ts.isVariableDeclaration(node) ||
			ts.isParameter(node) ||
			ts.isBindingElement(node) ||
			ts.isFunctionDeclaration(node) ||
			ts.isImportSpecifier(node) ||
			ts.isTypeAliasDeclaration(node) ||
			ts.isInterfaceDeclaration(node);
		if (isDeclaration && node.name !== undefined && ts.isIdentifier(node.name)) names.add(node.name.text);
		ts.forEachChild(node, visit);
	};
	visit(source);
	return names;
}

/** A name in use as a value or type, not a member called the same and not a declaration of one's own. */
function isFreeUse(node: ts.Identifier): boolean {
	const { parent } = node;
	if (ts.isPropertyAccessExpression(parent)) return parent.expression === node;
	if (ts.isQualifiedName(parent)) return parent.left === node;
	if (ts.isPropertyAssignment(parent)) return parent.initializer === node;
	const named = parent as { readonly name?: ts.Node };
	return named.name !== node || ts.isShorthandPropertyAssignment(parent);
}
