import { readdir } from 'node:fs/promises';
import { basename, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { fail, ok, type Result } from '@stillmast/core/result';
import { readScenario, type Scenario } from '@stillmast/formats/scenario';
import type { ScenarioDocuments } from '@stillmast/record/scenario';
import { parseDocument, readFileBytes } from '../../document/read-file.js';

/** A scenario and the documents it names, read and not yet played. */
export interface ScenarioFolder {
	readonly scenario: Scenario;
	readonly documents: ScenarioDocuments;
}

/** The one that `--demo` puts on the board. */
export const demoName = 'after-gearbox-smoothing';

const shippedFolder = fileURLToPath(new URL('../../../../../demo-scenarios/', import.meta.url));
const fileName = 'scenario.json';

/** Names of the scenarios that come with the repository, sorted. */
export async function shippedScenarios(): Promise<readonly string[]> {
	const folders = await readdir(shippedFolder, { withFileTypes: true });
	const names = await Promise.all(
		folders
			.filter((entry) => entry.isDirectory())
			.map(async ({ name }) => ((await holdsScenario(join(shippedFolder, name))) ? [name] : [])),
	);
	return names.flat().sort();
}

/**
 * Reads a scenario by the name of a shipped one, or else from a folder.
 * @returns `no-such-scenario`, `no-file`, or the first fault of its JSON, its shape or its card, with the file that has it
 */
export async function readScenarioFolder(nameOrFolder: string): Promise<Result<ScenarioFolder>> {
	const shipped = await shippedScenarios();
	const folder = shipped.includes(nameOrFolder) ? join(shippedFolder, nameOrFolder) : resolve(nameOrFolder);
	if (!(await holdsScenario(folder))) {
		return fail({
			code: 'no-such-scenario',
			found: nameOrFolder,
			needed: `a folder with ${fileName} in it, or one of ${shipped.join(', ')}`,
		});
	}
	const scenario = await readDocument(folder, fileName, readScenario);
	if (!scenario.ok) return scenario;
	const { id } = scenario.value;
	if (id !== basename(folder)) {
		return fail({
			code: 'not-allowed',
			path: `${fileName} $.id`,
			found: id,
			needed: `as its folder: ${basename(folder)}`,
		});
	}
	const card = await readDocument(folder, scenario.value.card, ok);
	if (!card.ok) return card;
	const typeData = await readDocument(folder, scenario.value.typeData, ok);
	if (!typeData.ok) return typeData;
	return ok({ scenario: scenario.value, documents: { card: card.value, typeData: typeData.value } });
}

async function holdsScenario(folder: string): Promise<boolean> {
	try {
		return (await readdir(folder)).includes(fileName);
	} catch {
		// not there, or no folder: what was asked for is then said to be missing
		return false;
	}
}

async function readDocument<T>(folder: string, file: string, read: (value: unknown) => Result<T>): Promise<Result<T>> {
	const bytes = await readFileBytes(join(folder, file));
	if (!bytes.ok) return bytes;
	const parsed = parseDocument(bytes.value);
	const answer = parsed.ok ? read(parsed.value) : parsed;
	if (answer.ok) return answer;
	const { path } = answer.problem;
	return fail({ ...answer.problem, path: path === undefined ? file : `${file} ${path}` });
}
