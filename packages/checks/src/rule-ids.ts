import ts from 'typescript';
import { type Finding, lineAt, type TextFile } from './finding.js';
import { parseProgram } from './scripts-in.js';

/** A rule's id where docs/rules states it: first thing in a list item, a table row, a heading or a paragraph. */
const stated = /^(?:[-*] |\| ?|#+ )?(?:\*\*|`)?([A-Z]{2,6}-\d+)\b/gm;
const cited = /\[([A-Z]{2,6}-\d+)\]/g;

interface Mention {
	readonly id: string;
	readonly file: string;
	readonly line: number;
}

/** Every rule has a test whose title carries `[ID]`, and every id in a title is a rule; ids are stated once. */
export function checkRuleIds(files: readonly TextFile[]): readonly Finding[] {
	const rules = files.filter((file) => /^docs\/rules\/[^/]+\.md$/.test(file.path)).flatMap(statedRules);
	const tested = files.filter((file) => /\.(test|e2e)\.ts$/.test(file.path)).flatMap(citedInTitles);
	const ruleIds = new Set(rules.map((rule) => rule.id));
	const testedIds = new Set(tested.map((mention) => mention.id));
	const finding = ({ file, line }: Mention, found: string, allowed: string): Finding => ({
		check: 'rule-ids',
		file,
		line,
		found,
		allowed,
	});
	return [
		...rules
			.filter((rule, at) => rules.findIndex((other) => other.id === rule.id) !== at)
			.map((rule) => finding(rule, `${rule.id} a second time`, 'each id once')),
		...rules
			.filter((rule) => !testedIds.has(rule.id))
			.map((rule) => finding(rule, `${rule.id} without a test`, `at least one test titled [${rule.id}] …`)),
		...tested
			.filter((mention) => !ruleIds.has(mention.id))
			.map((mention) => finding(mention, `[${mention.id}] in a title`, 'an id stated in docs/rules')),
	];
}

function statedRules(file: TextFile): readonly Mention[] {
	return [...file.text.matchAll(stated)].map((match) => ({
		id: match[1] ?? '',
		file: file.path,
		line: lineAt(file.text, match.index),
	}));
}

/** Ids in the first argument of `it`, `test` and `describe`, whatever follows the name (`it.each(...)(title)`). */
function citedInTitles(file: TextFile): readonly Mention[] {
	const source = parseProgram(file);
	const found: Mention[] = [];
	const visit = (node: ts.Node): void => {
		if (ts.isCallExpression(node) && /^(it|test|describe)\b/.test(node.expression.getText())) {
			const title = node.arguments[0];
			if (title !== undefined && (ts.isStringLiteralLike(title) || ts.isTemplateExpression(title))) {
				const line = source.getLineAndCharacterOfPosition(title.getStart()).line + 1;
				for (const match of title.getText().matchAll(cited)) found.push({ id: match[1] ?? '', file: file.path, line });
			}
		}
		ts.forEachChild(node, visit);
	};
	visit(source);
	return found;
}
