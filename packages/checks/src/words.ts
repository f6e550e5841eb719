import ts from 'typescript';
import type { Finding, TextFile } from './finding.js';
import { parseProgram } from './scripts-in.js';

/** Words a sentence on the board may have: it is read by a crew with other things to do. */
export const mostWords = 15;

/** Every sentence of the board's catalogue (apps/board/src/lib/words) is short; what is filled in counts as one word. */
export function checkBoardWords(files: readonly TextFile[]): readonly Finding[] {
	return files
		.filter((file) => file.path.startsWith('apps/board/src/lib/words') && /\.ts$/.test(file.path))
		.flatMap((file) => {
			const source = parseProgram(file);
			const found: Finding[] = [];
			const visit = (node: ts.Node): void => {
				const text = textOf(node);
				if (text !== undefined && !ts.isImportDeclaration(node.parent)) {
					const line = source.getLineAndCharacterOfPosition(node.getStart()).line + 1;
					for (const sentence of text.split(/[.!?:;](?:\s+|$)/)) {
						const words = sentence.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length;
						if (words <= mostWords) continue;
						found.push({
							check: 'words',
							file: file.path,
							line,
							found: `${words} words: ${sentence}`,
							allowed: `${mostWords} words`,
						});
					}
				}
				ts.forEachChild(node, visit);
			};
			visit(source);
			return found;
		});
}

function textOf(node: ts.Node): string | undefined {
	if (ts.isStringLiteralLike(node)) return node.text;
	if (!ts.isTemplateExpression(node)) return undefined;
	return node.head.text + node.templateSpans.map((span) => `N${span.literal.text}`).join('');
}
