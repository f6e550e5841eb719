import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { main } from '../src/index.js';
import { shippedScenarios } from '../src/serve/scenario/read-folder.js';
import { testIo } from './test-io.js';

const shippedFolder = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios');

describe('stillmast serve --scenario', () => {
	let place = '';
	beforeAll(() => {
		place = mkdtempSync(join(tmpdir(), 'stillmast-scenario-'));
	});
	afterAll(() => rmSync(place, { recursive: true }));

	/** A scenario of one's own, made from the shipped one by a change to its text. */
	function own(folder: string, change: (text: string) => string): string {
		const made = join(place, folder);
		cpSync(join(shippedFolder, 'after-gearbox-smoothing'), made, { recursive: true });
		const file = join(made, 'scenario.json');
		writeFileSync(file, change(readFileSync(file, 'utf8').replace('"after-gearbox-smoothing"', `"${folder}"`)));
		return made;
	}

	async function serve(data: string, ...scenarios: readonly string[]) {
		const { io, said } = testIo();
		const flags = scenarios.flatMap((one) => ['--scenario', one]);
		const status = await main(['serve', '--port', '0', '--data', join(place, data), '--json', ...flags], io);
		return { status, ...said };
	}

	it('plays several, each with a link for each role, and takes them up again from the same folder', async () => {
		const folder = own('our-own', (text) => text.replace('ZZ-LMW', 'ZZ-OWN'));
		const first = await serve('kept', 'after-gearbox-smoothing', folder);
		expect(first).toMatchObject({ status: 0, err: '' });
		const { scenarios, welcome } = JSON.parse(first.out);
		expect(Object.keys(scenarios)).toEqual(['after-gearbox-smoothing', 'our-own']);
		expect(Object.keys(scenarios['our-own'].links)).toEqual(['pilot', 'engineer', 'support', 'instructor', 'reviewer']);
		expect(scenarios['our-own'].record).not.toBe(scenarios['after-gearbox-smoothing'].record);
		expect(welcome).toBeNull();
		const again = JSON.parse((await serve('kept', folder)).out);
		expect(again.scenarios['our-own'].record).toBe(scenarios['our-own'].record);
	}, 60_000);

	it('names those that are shipped when there is no such scenario, with status 2', async () => {
		const { status, err } = await serve('none', 'no-such-thing');
		expect(status).toBe(2);
		expect(err).toContain('there is no such scenario; found no-such-thing; needed a folder with scenario.json in it');
		for (const name of await shippedScenarios()) expect(err).toContain(name);
		mkdirSync(join(place, 'bare'));
		expect(await serve('none', join(place, 'bare'))).toMatchObject({ status: 2 });
	});

	it.each([
		['broken', (text: string) => text.replace('"events": [', '"events": [,'), /scenario\.json.*line \d+.*not JSON/],
		[
			'version',
			(text: string) => text.replace('scenario@1', 'scenario@2'),
			/scenario\.json \$\.format: .*found "stillmast\/scenario@2"; needed "stillmast\/scenario@1"/,
		],
		[
			'renamed',
			(text: string) => text.replace('"renamed"', '"other"'),
			/\$\.id: .*found other; needed as its folder: renamed/,
		],
		[
			'unknown-word',
			(text: string) => text.replace('"do": "write"', '"do": "fly"'),
			/\$\.events\[0\]\.do: .*found "fly"; needed .*"write"/,
		],
		[
			'unknown-device',
			(text: string) => text.replace('"by": "cockpit"', '"by": "cellar"'),
			/\$\.events\[4\]\.by: .*found cellar; needed one of workshop, cockpit/,
		],
		[
			'real-registration',
			(text: string) => text.replace('ZZ-LMW', 'AB-CDE'),
			/\$\.aircraft\.registration: .*found "AB-CDE"/,
		],
		[
			'no-card',
			(text: string) => text.replace('"card.json"', '"cards.json"'),
			/there is no such file; found .*cards\.json/,
		],
		['wrong-card', (text: string) => text.replace('"card": "card.json"', '"card": "type.json"'), /type\.json \$/],
		[
			'wrong-fields',
			(text: string) => text.replace('"state": "opened"', '"state": "begun"'),
			/\$\.events\[4\]\.fields\.state/,
		],
	])(
		'%s: says what was found, what was needed and where',
		async (folder, change, words) => {
			const { err, status } = await serve('refused', own(folder, change));
			expect(err).toMatch(words);
			expect(status).toBeGreaterThan(0);
		},
		30_000,
	);
});
