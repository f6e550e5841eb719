import { isIP } from 'node:net';
import { networkInterfaces } from 'node:os';
import { dataFolder } from '../data-folder/folder.js';
import { UsageError, wholeNumber } from '../verb.js';

/** Where and for whom the board is served. */
export interface ServeSettings {
	/** 0 takes any free port. */
	readonly port: number;
	readonly host: string;
	readonly dataDir: string;
	/** The one name in invitations, with its port; undefined: the address itself. */
	readonly name: string | undefined;
	readonly reachableFromOutside: boolean;
	/** Files of a certificate with its chain and of its key, PEM. */
	readonly certificate: { readonly cert: string; readonly key: string } | undefined;
	/** An authority of this host's own in place of a certificate. */
	readonly makeCa: boolean;
}

const defaultPort = 4300;
const loopback = new Set(['127.0.0.1', 'localhost', '::1']);
const everyAddress = new Set(['0.0.0.0', '::']);

interface Flags {
	readonly port?: string;
	readonly host?: string;
	readonly data?: string;
	readonly name?: string;
	readonly cert?: string;
	readonly 'cert-key'?: string;
	readonly 'make-ca'?: boolean;
}

/** Flags win over PORT, HOST and DATA of the environment; without either: port 4300, loopback, the folder `data` here. */
export function serveSettings(flags: Flags, env: Readonly<Record<string, string | undefined>>): ServeSettings {
	const port = wholeNumber(flags.port ?? (env.PORT || String(defaultPort)), 'port', 0, 65_535);
	const host = flags.host ?? (env.HOST || '127.0.0.1');
	if (/[\s/:]/.test(host) && isIP(host) === 0)
		throw new UsageError(`host is "${host}"; needed: an address or a name, without port`);
	const name = flags.name ?? (everyAddress.has(host) ? firstOutsideAddress() : undefined);
	if (name !== undefined && !/^[^\s/]+$/.test(name))
		throw new UsageError(`name is "${name}"; needed: the host part of an address`);
	return {
		port,
		host,
		dataDir: dataFolder(flags.data, env),
		name: name === undefined || /:\d+$/.test(name) || port === 0 ? name : `${name}:${port}`,
		reachableFromOutside: !loopback.has(host),
		certificate: certificateFiles(flags),
		makeCa: flags['make-ca'] === true,
	};
}

function certificateFiles({ cert, 'cert-key': key, 'make-ca': makeCa }: Flags): ServeSettings['certificate'] {
	if (cert === undefined && key === undefined) return undefined;
	if (cert === undefined || key === undefined) throw new UsageError('--cert and --cert-key go together');
	if (makeCa === true) throw new UsageError('--make-ca makes its own certificate: leave out --cert');
	return { cert, key };
}

/** Bound to every address, an invitation still has to name one: the first that other machines may know. */
function firstOutsideAddress(): string | undefined {
	return Object.values(networkInterfaces())
		.flatMap((list) => list ?? [])
		.find(({ internal, family }) => !internal && family === 'IPv4')?.address;
}
