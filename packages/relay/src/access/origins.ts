import { isIP } from 'node:net';

export interface Addressing {
	/**
	 * Is this a name under which the host may be asked (`board.example:4300`)? A foreign name that was pointed at this
	 * address by its owner is not: its pages could otherwise talk to the host as if they were ours.
	 */
	knowsHost(hostName: string): boolean;
	/** May a page of this origin post here or open a socket, when the host was asked as `hostName`? */
	allowsOrigin(origin: string | undefined, hostName: string): boolean;
}

export interface AddressingOptions {
	/** The one name in invites, without scheme; with a port when it is not the usual one. */
	readonly name: string | undefined;
	readonly secure: boolean;
	/** Further whole origins, such as that of a proxy in front. */
	readonly origins: readonly string[];
}

const LOOPBACK_NAMES = new Set(['localhost', '127.0.0.1', '[::1]']);

/** Pages of the host itself and of the listed origins, compared whole: look-alikes, `null` and none are refused. */
export function createAddressing({ name, secure, origins }: AddressingOptions): Addressing {
	const listed = new Set(origins);
	const listedHosts = new Set(origins.map((origin) => new URL(origin).host));
	const scheme = secure ? 'https' : 'http';

	function knowsHost(hostName: string): boolean {
		const bare = hostName.replace(/:\d{1,5}$/, '').toLowerCase();
		if (LOOPBACK_NAMES.has(bare) || listedHosts.has(hostName)) return true;
		if (name !== undefined && (hostName === name || bare === name)) return true;
		// A bare address cannot be pointed anywhere else by anybody.
		return isIP(bare.replace(/^\[|\]$/g, '')) !== 0;
	}

	return {
		knowsHost,
		allowsOrigin: (origin, hostName) =>
			origin !== undefined && (listed.has(origin) || (knowsHost(hostName) && origin === `${scheme}://${hostName}`)),
	};
}
