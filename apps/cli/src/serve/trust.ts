import { readFile } from 'node:fs/promises';
import { hostname, networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { fail, ok, type Result } from '@stillmast/core/result';
import { type Certificate, type OwnAuthority, openAuthority } from '@stillmast/relay';
import type { ServeSettings } from './settings.js';

/** By what browsers trust this host: a certificate that was given, an authority of its own, or nothing. */
export interface Trust {
	readonly certificate?: Certificate;
	readonly authority?: OwnAuthority;
}

/** @returns `certificate-unreadable`, or what `openAuthority` says */
export async function openTrust(settings: ServeSettings): Promise<Result<Trust>> {
	const { certificate } = settings;
	if (certificate !== undefined) {
		try {
			const [cert, key] = await Promise.all([certificate.cert, certificate.key].map((file) => readFile(file, 'utf8')));
			return ok({ certificate: { cert: cert ?? '', key: key ?? '' } });
		} catch (error) {
			const found = error instanceof Error ? error.message : String(error);
			return fail({ code: 'certificate-unreadable', found, needed: 'two PEM files that this user may read' });
		}
	}
	if (!settings.makeCa) return ok({});
	const opened = await openAuthority({
		folder: join(settings.dataDir, 'authority'),
		names: namesOfHost(settings),
		clock: { nowMs: () => Date.now(), monotonicMs: () => performance.now(), after: () => () => undefined },
		random: (length) => crypto.getRandomValues(new Uint8Array(length)),
	});
	return opened.ok ? ok({ authority: opened.value }) : opened;
}

/** The name in invitations first, then whatever else this machine is reached by. */
export function namesOfHost({ name, host }: Pick<ServeSettings, 'name' | 'host'>): readonly string[] {
	const machine = hostname().toLowerCase();
	const addresses = Object.values(networkInterfaces()).flatMap((list) => (list ?? []).map(({ address }) => address));
	const bare = (text: string) => text.replace(/:\d+$/, '').replace(/^\[|\]$/g, '');
	const asked = [name === undefined ? null : bare(name), host === '0.0.0.0' || host === '::' ? null : host];
	const all = [...asked, machine, machine.includes('.') ? null : `${machine}.local`, 'localhost', ...addresses];
	const fit = all.flatMap((one) => (one === null ? [] : [one.split('%', 1)[0] ?? '']));
	return [...new Set(fit)].filter((one) => /^[a-z0-9.:-]+$/i.test(one));
}
