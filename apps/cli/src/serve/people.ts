import type { JoinNews, OwnAuthority, Relay } from '@stillmast/relay';
import type { Demo } from './demo/seed.js';
import type { ServeSettings } from './settings.js';

/** A host that is running, and what belongs to it. */
export interface Serving {
	readonly relay: Relay;
	readonly demo: Demo | null;
	readonly authority: OwnAuthority | null;
	readonly stop: () => Promise<void>;
}

/** What is said when the host is ready. */
export function readyForPeople(
	{ dataDir, reachableFromOutside }: ServeSettings,
	{ relay, demo, authority }: Serving,
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
		lines.push('', 'The demo flight, one link for each role (invented data; links are good for 24 hours):');
		for (const [role, url] of Object.entries(demo.links)) lines.push(`  ${role.padEnd(10)}  ${url}`);
	} else if (relay.welcome !== null) {
		lines.push(
			'',
			'Nothing is kept here yet. One person may open the first check, by this link (good once, for 24 hours):',
			`  ${relay.welcome.url}`,
		);
	}
	return `${lines.join('\n')}\n\nStop with Ctrl+C.\n`;
}

/** Whoever let them in compares the words with those on the device that joined. */
export function joinedForPeople({ name, role, registration, words }: JoinNews): string {
	return `${name} joined ${registration ?? 'a check'} as ${role}. Their device shows: ${words}\n`;
}
