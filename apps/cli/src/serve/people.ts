import type { JoinNews, OwnAuthority, Relay } from '@stillmast/relay';
import type { OnBoard } from './scenario/seed.js';
import type { ServeSettings } from './settings.js';

/** A host that is running, and what belongs to it. */
export interface Serving {
	readonly relay: Relay;
	readonly demo: OnBoard | null;
	/** Played checks by the name of their scenario. */
	readonly scenarios: ReadonlyMap<string, OnBoard>;
	readonly authority: OwnAuthority | null;
	readonly stop: () => Promise<void>;
}

/** What is said when the host is ready. */
export function readyForPeople(
	{ dataDir, reachableFromOutside }: ServeSettings,
	{ relay, demo, scenarios, authority }: Serving,
): string {
	const reach = reachableFromOutside
		? 'Others on this network can reach it.'
		: 'Only this machine can reach it (--host changes that).';
	const lines = [`Stillmast is served at ${relay.url}`, `Records are kept in ${dataDir}. ${reach}`];
	if (authority !== null) {
		lines.push(
			'',
			'Each tablet trusts this host once: open the page below on it and follow it.',
			`  ${relay.url.replace('https:', 'http:')}/trust`,
			'Compare before you trust; the tablet must show the same:',
			`  words        ${authority.words}`,
			`  fingerprint  ${authority.fingerprint}`,
		);
	}
	if (demo !== null) {
		lines.push(
			'',
			'The demo flight, one link for each role (invented data; links are good for 24 hours):',
			...linkLines(demo),
		);
	}
	for (const [name, played] of scenarios) {
		lines.push('', `Scenario ${name} (invented data; links are good for 24 hours):`, ...linkLines(played));
	}
	if (demo === null && scenarios.size === 0 && relay.welcome !== null) {
		lines.push(
			'',
			'Nothing is kept here yet. One person may open the first check, by this link (good once, for 24 hours):',
			`  ${relay.welcome.url}`,
		);
	}
	return `${lines.join('\n')}\n\nStop with Ctrl+C.\n`;
}

function linkLines({ links }: OnBoard): readonly string[] {
	return Object.entries(links).map(([role, url]) => `  ${role.padEnd(10)}  ${url}`);
}

/** Whoever let them in compares the words with those on the device that joined. */
export function joinedForPeople({ name, role, registration, words }: JoinNews): string {
	return `${name} joined ${registration ?? 'a check'} as ${role}. Their device shows: ${words}\n`;
}
