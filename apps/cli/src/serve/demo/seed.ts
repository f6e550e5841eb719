import { randomBytes } from 'node:crypto';
import { ok, type Result } from '@stillmast/core/result';
import type { Role } from '@stillmast/formats/entry';
import type { Relay, Store } from '@stillmast/relay';
import { readDemoScenario } from './scenario.js';
import { writeDemo } from './write-demo.js';

/** Roles that get a link into the demo flight, in the order in which they are printed. */
export const demoRoles: readonly Role[] = ['pilot', 'engineer', 'support', 'instructor', 'reviewer'];

const linkHours = 24;
const usesPerLink = 20;

export interface Demo {
	readonly record: string;
	readonly links: Readonly<Record<string, string>>;
}

/** Puts the demo flight into a host that keeps nothing yet. @returns its record's id; null when something is there already */
export async function seedDemo(relay: Relay, store: Store): Promise<Result<string | null>> {
	if ((await store.records()).length > 0) return ok(null);
	const scenario = await readDemoScenario();
	if (!scenario.ok) return scenario;
	const demo = await writeDemo(scenario.value, relay.publicKey, {
		random: (length) => new Uint8Array(randomBytes(length)),
		clock: { nowMs: Date.now, upMs: () => Math.round(performance.now()), clock: () => null },
	});
	if (!demo.ok) return demo;
	return relay.importRecordFile(demo.value);
}

/** New invitations into the demo flight, one for each role. */
export async function demoLinks(relay: Relay, record: string): Promise<Demo> {
	const links: Record<string, string> = {};
	for (const role of demoRoles) links[role] = (await relay.createInvite(record, role, usesPerLink, linkHours)).url;
	return { record, links };
}
