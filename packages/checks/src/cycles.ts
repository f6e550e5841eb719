import type { Finding, TextFile } from './finding.js';
import { resolvePath } from './import-direction.js';
import { importsOf, isProgram } from './scripts-in.js';

/** Files that import each other in a ring, by relative imports; one finding per ring, types counted too. */
export function checkNoCycles(files: readonly TextFile[]): readonly Finding[] {
	const programs = files.filter(isProgram);
	const known = new Set(programs.map((file) => file.path));
	const edges = new Map(
		programs.map((file) => [
			file.path,
			importsOf(file)
				.filter(({ specifier }) => specifier.startsWith('.'))
				.flatMap(({ specifier }) => locate(resolvePath(file.path, specifier), known)),
		]),
	);
	return rings(edges).map((ring) => ({
		check: 'no-cycles',
		file: ring[0] ?? '',
		found: [...ring, ring[0]].join(' → '),
		allowed: 'imports in one direction',
	}));
}

/** The source behind a specifier that names the compiled file. */
function locate(path: string, known: ReadonlySet<string>): readonly string[] {
	const bare = path.replace(/\.js$/, '');
	return [path, `${bare}.ts`, `${path}.ts`, `${path}/index.ts`].filter((candidate) => known.has(candidate)).slice(0, 1);
}

/** Strongly connected components of more than one file, and files that import themselves (Tarjan's method). */
function rings(edges: ReadonlyMap<string, readonly string[]>): readonly (readonly string[])[] {
	const order = new Map<string, number>();
	const low = new Map<string, number>();
	const stack: string[] = [];
	const open = new Set<string>();
	const found: string[][] = [];
	const visit = (node: string): void => {
		const at = order.size;
		order.set(node, at);
		low.set(node, at);
		stack.push(node);
		open.add(node);
		for (const next of edges.get(node) ?? []) {
			if (!order.has(next)) {
				visit(next);
				low.set(node, Math.min(low.get(node) ?? at, low.get(next) ?? at));
			} else if (open.has(next)) {
				low.set(node, Math.min(low.get(node) ?? at, order.get(next) ?? at));
			}
		}
		if (low.get(node) !== at) return;
		const ring = stack.splice(stack.indexOf(node));
		for (const member of ring) open.delete(member);
		if (ring.length > 1 || edges.get(node)?.includes(node)) found.push(ring);
	};
	for (const node of edges.keys()) if (!order.has(node)) visit(node);
	return found;
}
