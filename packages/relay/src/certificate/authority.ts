import { createHash, createPrivateKey, createPublicKey, generateKeyPairSync } from 'node:crypto';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fail, ok, type Result } from '@stillmast/core/result';
import { certificateWords } from '@stillmast/record/words';
import type { Clock, Random } from '../ports.js';
import type { Certificate } from '../serve/web.js';
import { addressBytes, makeCertificate, toPem } from './certificate.js';

const DAY_MS = 86_400_000;
/** Tablets are told to trust it once; a new one means to tell them all again. */
const AUTHORITY_DAYS = 3_650;
/** Some systems refuse host certificates that live longer than 825 days; a new one is made at each start. */
const HOST_DAYS = 397;
/** A clock that is a little behind must not find it not yet valid. */
const BEFORE_MS = DAY_MS;
const FILE = 'authority.json';
/** Longest common name (RFC 5280, upper bounds). */
const COMMON_NAME_MAX = 64;

/** The hangar's own authority: what tablets are told to trust, and what this host shows them. */
export interface OwnAuthority {
	/** DER, as tablets take it in. */
	readonly der: Uint8Array;
	/** SHA-256 of the DER, in capital hex digits with colons, as systems show it. */
	readonly fingerprint: string;
	/** Three words for the same. */
	readonly words: string;
	/** For this host, by this authority; made anew at each start. */
	readonly host: Certificate;
}

export interface AuthorityOptions {
	/** Where the authority is kept, its key included. */
	readonly folder: string;
	/** Names and addresses of this host; the first is the one in invitations. */
	readonly names: readonly string[];
	readonly clock: Clock;
	readonly random: Random;
}

/** As it is kept. */
interface Kept {
	readonly subject: string;
	/** Names that it may vouch for, besides private addresses. */
	readonly names: readonly string[];
	/** DER, base64. */
	readonly certificate: string;
	/** PKCS #8, PEM. */
	readonly key: string;
}

/**
 * The authority kept in a folder, made when there is none, and a certificate for this host signed by it. The authority
 * may vouch for the names it was made for and for private addresses, nothing else: whoever steals its key can pass for
 * this host, and for nobody beyond. @rule RLY-53
 * @returns `authority-for-other-names` when the kept one may not vouch for these names · `authority-unreadable`
 */
export async function openAuthority({ folder, names, clock, random }: AuthorityOptions): Promise<Result<OwnAuthority>> {
	const file = join(folder, FILE);
	const kept = (await readKept(file)) ?? (await make(folder, file, names, clock, random));
	if (kept === 'unreadable')
		return fail({ code: 'authority-unreadable', found: file, needed: 'the file as it was made' });
	const outside = hostNames(names).filter((one) => !kept.names.some((permitted) => within(one, permitted)));
	if (outside.length > 0) {
		const needed = `${kept.names.join(', ')}, or ${file} moved away and a new authority trusted on every device`;
		return fail({ code: 'authority-for-other-names', found: outside.join(', '), needed });
	}
	const pair = generateKeyPairSync('ec', { namedCurve: 'P-256' });
	const fromMs = clock.nowMs() - BEFORE_MS;
	const der = makeCertificate({
		subject: commonName(names[0] ?? 'localhost'),
		publicKey: pair.publicKey,
		issuer: kept.subject,
		issuerKey: { privateKey: createPrivateKey(kept.key), publicKey: createPublicKey(kept.key) },
		fromMs,
		untilMs: fromMs + HOST_DAYS * DAY_MS,
		is: 'host',
		names,
		random,
	});
	const authority = Buffer.from(kept.certificate, 'base64');
	const digest = createHash('sha256').update(authority).digest('hex');
	return ok({
		der: authority,
		fingerprint: (digest.toUpperCase().match(/../g) ?? []).join(':'),
		words: await certificateWords(digest),
		host: {
			cert: toPem(der) + toPem(authority),
			key: pair.privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
		},
	});
}

async function readKept(file: string): Promise<Kept | 'unreadable' | null> {
	let text: string;
	try {
		text = await readFile(file, 'utf8');
	} catch (error) {
		if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
		throw error;
	}
	try {
		const kept = JSON.parse(text) as Kept;
		createPrivateKey(kept.key);
		return kept.names.every((one) => typeof one === 'string') && typeof kept.certificate === 'string'
			? kept
			: 'unreadable';
	} catch {
		return 'unreadable';
	}
}

async function make(
	folder: string,
	file: string,
	names: readonly string[],
	clock: Clock,
	random: Random,
): Promise<Kept> {
	const pair = generateKeyPairSync('ec', { namedCurve: 'P-256' });
	const subject = commonName(`Stillmast authority of ${names[0] ?? 'localhost'}`);
	const fromMs = clock.nowMs() - BEFORE_MS;
	const certificate = makeCertificate({
		subject,
		publicKey: pair.publicKey,
		issuer: subject,
		issuerKey: pair,
		fromMs,
		untilMs: fromMs + AUTHORITY_DAYS * DAY_MS,
		is: 'authority',
		names: hostNames(names),
		random,
	});
	const made: Kept = {
		subject,
		names: hostNames(names),
		certificate: certificate.toString('base64'),
		key: pair.privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
	};
	await mkdir(folder, { recursive: true, mode: 0o700 });
	await writeFile(file, `${JSON.stringify(made, null, '\t')}\n`, { mode: 0o600, flag: 'wx' });
	return made;
}

const hostNames = (names: readonly string[]) => names.filter((one) => addressBytes(one) === null);
const commonName = (text: string) => text.slice(0, COMMON_NAME_MAX);
const within = (name: string, permitted: string) => name === permitted || name.endsWith(`.${permitted}`);
