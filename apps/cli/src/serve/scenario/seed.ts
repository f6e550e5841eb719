import { randomBytes } from 'node:crypto';
import { ok, type Result } from '@stillmast/core/result';
import type { Role } from '@stillmast/formats/entry';
import { lastsMs, playScenario } from '@stillmast/record/scenario';
import type { Relay, Store } from '@stillmast/relay';
import { playedRecordOf } from '../../data-folder/records.js';
import type { ScenarioFolder } from './read-folder.js';

/** Roles that get a link into a played check, in the order in which they are printed. */
const linkRoles: readonly Role[] = ['pilot', 'engineer', 'support', 'instructor', 'reviewer'];

const linkHours = 24;
const usesPerLink = 20;

/** A played check on the board. */
export interface OnBoard {
	readonly record: string;
	readonly links: Readonly<Record<string, string>>;
}

/** Puts the demo flight into a host that keeps nothing yet; null where other records are kept and no demo flight is. */
export async function seedDemo(relay: Relay, store: Store, demo: ScenarioFolder): Promise<Result<OnBoard | null>> {
	const isEmpty = (await store.records()).length === 0;
	if (!isEmpty && (await playedRecordOf(store, demo.scenario)) === null) return ok(null);
	return seedScenario(relay, store, demo);
}

/**
 * Plays a scenario so that it ends now, and keeps its record; one that was played there before is taken up as it is.
 * @returns its record with new invitations, one for each role
 */
export async function seedScenario(
	relay: Relay,
	store: Store,
	{ scenario, documents }: ScenarioFolder,
): Promise<Result<OnBoard>> {
	const before = await playedRecordOf(store, scenario);
	if (before !== null) return ok(await linksInto(relay, before));
	const played = await playScenario(scenario, documents, {
		random: (length) => new Uint8Array(randomBytes(length)),
		startMs: Date.now() - lastsMs(scenario),
		hostPublicKey: relay.publicKey,
	});
	if (!played.ok) return played;
	const kept = await relay.importRecordFile(played.value.text);
	return kept.ok ? ok(await linksInto(relay, kept.value)) : kept;
}

async function linksInto(relay: Relay, record: string): Promise<OnBoard> {
	const links: Record<string, string> = {};
	for (const role of linkRoles) links[role] = (await relay.createInvite(record, role, usesPerLink, linkHours)).url;
	return { record, links };
}
