import { createHash, type KeyObject, sign } from 'node:crypto';
import { isIPv4, isIPv6 } from 'node:net';
import type { Random } from '../ports.js';
import { bitString, explicit, implicit, integer, octets, oid, sequence, setOf, time, utf8, yes } from './der.js';

/** What a certificate says (RFC 5280). The keys are P-256; everything is signed by ECDSA with SHA-256. */
export interface CertificateOrder {
	readonly subject: string;
	readonly publicKey: KeyObject;
	readonly issuer: string;
	readonly issuerKey: { readonly publicKey: KeyObject; readonly privateKey: KeyObject };
	readonly fromMs: number;
	readonly untilMs: number;
	/** `authority`: may sign for these names and for private addresses only · `host`: is one of these names. */
	readonly is: 'authority' | 'host';
	/** Host names and addresses. */
	readonly names: readonly string[];
	readonly random: Random;
}

const ECDSA_WITH_SHA256 = '1.2.840.10045.4.3.2';
const COMMON_NAME = '2.5.4.3';
const SERVER_AUTH = '1.3.6.1.5.5.7.3.1';
const EXTENSION = {
	subjectKey: '2.5.29.14',
	keyUsage: '2.5.29.15',
	names: '2.5.29.17',
	basics: '2.5.29.19',
	nameLimits: '2.5.29.30',
	issuerKey: '2.5.29.35',
	extendedUsage: '2.5.29.37',
} as const;

/** Addresses that no public network uses (RFC 1918, 3927, 4193, 4291): all that an authority of a hangar may vouch for. */
const PRIVATE_RANGES: readonly (readonly [address: string, mask: string])[] = [
	['10.0.0.0', '255.0.0.0'],
	['172.16.0.0', '255.240.0.0'],
	['192.168.0.0', '255.255.0.0'],
	['169.254.0.0', '255.255.0.0'],
	['127.0.0.0', '255.0.0.0'],
	['fc00::', 'fe00::'],
	['fe80::', 'ffc0::'],
	['::1', 'ffff:ffff:ffff:ffff:ffff:ffff:ffff:ffff'],
];

/** DER bytes of a signed certificate. */
export function makeCertificate(order: CertificateOrder): Buffer {
	const algorithm = sequence(oid(ECDSA_WITH_SHA256));
	const serial = Buffer.from(order.random(16));
	// Positive and never zero.
	serial[0] = 0x40 | ((serial[0] ?? 0) & 0x3f);
	const body = sequence(
		explicit(0, integer(Buffer.of(2))),
		integer(serial),
		algorithm,
		name(order.issuer),
		sequence(time(order.fromMs), time(order.untilMs)),
		name(order.subject),
		keyInfo(order.publicKey),
		explicit(3, sequence(...extensions(order))),
	);
	return sequence(body, algorithm, bitString(sign('sha256', body, order.issuerKey.privateKey)));
}

export function toPem(der: Uint8Array): string {
	const lines =
		Buffer.from(der)
			.toString('base64')
			.match(/.{1,64}/g) ?? [];
	return `-----BEGIN CERTIFICATE-----\n${lines.join('\n')}\n-----END CERTIFICATE-----\n`;
}

function extensions({ is, names, publicKey, issuerKey }: CertificateOrder): Buffer[] {
	const own = keyId(publicKey);
	const common = [
		extension(EXTENSION.subjectKey, octets(own)),
		extension(EXTENSION.issuerKey, sequence(implicit(0, keyId(issuerKey.publicKey)))),
	];
	if (is === 'authority') {
		const limits = [
			...names.filter((one) => addressBytes(one) === null).map((one) => sequence(implicit(2, Buffer.from(one)))),
			...PRIVATE_RANGES.map((range) =>
				sequence(implicit(7, Buffer.concat(range.map((one) => addressBytes(one) as Buffer)))),
			),
		];
		return [
			// No further authority below it; signs certificates and nothing else.
			extension(EXTENSION.basics, sequence(yes(), integer(Buffer.of(0))), true),
			extension(EXTENSION.keyUsage, bitString(Buffer.of(0x04), 2), true),
			extension(EXTENSION.nameLimits, sequence(explicit(0, Buffer.concat(limits))), true),
			...common,
		];
	}
	const general = names.map((one) => {
		const address = addressBytes(one);
		return address === null ? implicit(2, Buffer.from(one)) : implicit(7, address);
	});
	return [
		extension(EXTENSION.basics, sequence(), true),
		extension(EXTENSION.keyUsage, bitString(Buffer.of(0x80), 7), true),
		extension(EXTENSION.extendedUsage, sequence(oid(SERVER_AUTH))),
		extension(EXTENSION.names, sequence(...general)),
		...common,
	];
}

function extension(id: string, value: Uint8Array, critical = false): Buffer {
	return sequence(oid(id), ...(critical ? [yes()] : []), octets(value));
}

const name = (common: string) => sequence(setOf(sequence(oid(COMMON_NAME), utf8(common))));
const keyInfo = (key: KeyObject) => key.export({ type: 'spki', format: 'der' });
/** Any short digest that tells keys apart will do (RFC 5280, 4.2.1.2). */
const keyId = (key: KeyObject) => createHash('sha256').update(keyInfo(key)).digest().subarray(0, 20);

/** Bytes of an address in network order; null for a name. */
export function addressBytes(text: string): Buffer | null {
	if (isIPv4(text)) return Buffer.from(text.split('.').map(Number));
	if (!isIPv6(text)) return null;
	const [head = '', tail] = (text.split('%', 1)[0] ?? '').split('::');
	const groups = (part: string | undefined) => (part ? part.split(':') : []);
	const before = groups(head);
	const after = groups(tail);
	const all = tail === undefined ? before : [...before, ...Array(8 - before.length - after.length).fill('0'), ...after];
	return Buffer.from(all.map((group) => group.padStart(4, '0')).join(''), 'hex');
}
