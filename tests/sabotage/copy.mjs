/** A copy of the sources in a temporary folder, where lines are changed and put back. */
import {
	cpSync,
	existsSync,
	mkdtempSync,
	readdirSync,
	readFileSync,
	rmSync,
	symlinkSync,
	writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import ts from 'typescript';

/** Packages whose tests run `dist`. */
const COMPILED = ['packages/relay'];

export class Copy {
	path = mkdtempSync(join(tmpdir(), 'stillmast-sabotage-'));

	constructor(root) {
		const left = new Set(['node_modules', 'dist', 'build', 'test-results', '.turbo', '.svelte-kit']);
		const filter = (path) => !left.has(basename(path));
		for (const folder of ['packages', join('apps', 'board'), join('tests', 'vectors'), 'demo-scenarios']) {
			cpSync(join(root, folder), join(this.path, folder), { recursive: true, filter });
		}
		for (const folder of COMPILED) {
			cpSync(join(root, folder, 'dist'), join(this.path, folder, 'dist'), { recursive: true });
		}
		cpSync(join(root, 'tsconfig.base.json'), join(this.path, 'tsconfig.base.json'));
		const workspaces = readdirSync(join(root, 'packages')).map((name) => join('packages', name));
		for (const folder of ['', ...workspaces, join('apps', 'board')]) {
			const own = join(root, folder, 'node_modules');
			// Junctions need no rights on Windows; elsewhere the word is not looked at.
			if (existsSync(own)) symlinkSync(own, join(this.path, folder, 'node_modules'), 'junction');
		}
	}

	/**
	 * Runs `task` while the file's `find`, which it must have once, is `replace`; the task is given what was written.
	 * Null, without running it, when the line is not there once.
	 */
	async while({ file, find, replace }, task) {
		const text = readFileSync(join(this.path, file), 'utf8');
		if (text.split(find).length !== 2) return null;
		const written = this.#put(
			file,
			text.replace(find, () => replace),
		);
		try {
			return await task(written);
		} finally {
			this.#put(file, text);
		}
	}

	remove() {
		rmSync(this.path, { recursive: true, force: true });
	}

	/** Writes a source and, where tests run what is compiled, what it compiles to; the paths written. */
	#put(file, text) {
		const source = join(this.path, file);
		writeFileSync(source, text);
		const folder = COMPILED.find((name) => file.startsWith(`${name}/src/`));
		if (folder === undefined) return [source];
		const options = { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext, verbatimModuleSyntax: true };
		const compiled = join(this.path, file.replace(`${folder}/src/`, `${folder}/dist/`).replace(/\.ts$/, '.js'));
		writeFileSync(compiled, ts.transpileModule(text, { compilerOptions: options }).outputText);
		return [source, compiled];
	}
}
