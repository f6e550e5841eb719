import { execFileSync } from 'node:child_process';
import { createPrivateKey, createPublicKey, generateKeyPairSync, X509Certificate } from 'node:crypto';
import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { request as plainRequest } from 'node:http';
import { type RequestOptions, request as secureRequest } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { certificateWords } from '@stillmast/record/words';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { type OwnAuthority, openAuthority } from '../src/certificate/authority.js';
import { addressBytes, makeCertificate, toPem } from '../src/certificate/certificate.js';
import { systemClock } from '../src/ports.js';
import { seededRandom } from './crew.js';
import { type Hangar, openHangar } from './hangar.js';

const NAMES = ['board.hangar.example', 'localhost', '127.0.0.1', '192.168.7.20', '::1'];
const DAY_MS = 86_400_000;

/** The reference: OpenSSL's command line, where it is installed; skipped and counted so where not. */
const openssl = (...args: string[]) =>
	execFileSync('openssl', args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
const hasOpenssl = () => {
	try {
		return openssl('version').startsWith('OpenSSL');
	} catch {
		return false;
	}
};

let folder: string;
beforeEach(async () => {
	folder = await mkdtemp(join(tmpdir(), 'stillmast-authority-'));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

async function open(names: readonly string[] = NAMES, seed = folder): Promise<OwnAuthority> {
	const opened = await openAuthority({ folder, names, clock: systemClock, random: seededRandom(seed) });
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	return opened.value;
}

const leafOf = ({ host }: OwnAuthority) => new X509Certificate(host.cert);

describe('openAuthority(options)', () => {
	it('[RLY-53] makes an authority once and a certificate for the host anew, valid for the host’s names (node:crypto reads it)', async () => {
		const first = await open();
		const again = await open(NAMES, 'another start');
		expect(Buffer.from(again.der).equals(first.der)).toBe(true);
		expect(again.host.cert).not.toBe(first.host.cert);
		const authority = new X509Certificate(first.der);
		expect(authority.ca).toBe(true);
		expect(authority.verify(authority.publicKey)).toBe(true);
		expect(first.fingerprint).toBe(authority.fingerprint256);
		expect(first.words).toBe(await certificateWords(authority.fingerprint256.replaceAll(':', '')));
		for (const one of [first, again]) {
			const leaf = leafOf(one);
			expect(leaf.ca).toBe(false);
			expect(leaf.checkIssued(authority)).toBe(true);
			expect(leaf.verify(authority.publicKey)).toBe(true);
			expect(leaf.checkHost('board.hangar.example')).toBe('board.hangar.example');
			expect(leaf.checkHost('elsewhere.example')).toBeUndefined();
			for (const address of ['127.0.0.1', '192.168.7.20', '::1']) expect(leaf.checkIP(address)).toBe(address);
			expect(leaf.checkIP('192.168.7.21')).toBeUndefined();
			expect(leaf.keyUsage).toEqual(['1.3.6.1.5.5.7.3.1']);
			expect(leaf.checkPrivateKey(createPrivateKey(one.host.key))).toBe(true);
			const days = (Date.parse(leaf.validTo) - Date.parse(leaf.validFrom)) / DAY_MS;
			expect(days).toBeLessThanOrEqual(825);
			expect(Date.parse(leaf.validTo)).toBeGreaterThan(Date.now() + 365 * DAY_MS);
		}
	});

	it('[RLY-53] keeps its key where only this user reads it', async () => {
		await open();
		expect((await stat(join(folder, 'authority.json'))).mode & 0o077).toBe(0);
	});

	it('[RLY-53] refuses a name that the kept authority may not vouch for, and a file that is damaged', async () => {
		await open();
		const options = { folder, clock: systemClock, random: seededRandom('x') };
		expect(await openAuthority({ ...options, names: ['other.example'] })).toMatchObject({
			ok: false,
			problem: { code: 'authority-for-other-names', found: 'other.example' },
		});
		const file = join(folder, 'authority.json');
		await writeFile(file, (await readFile(file, 'utf8')).slice(0, 200));
		expect(await openAuthority({ ...options, names: NAMES })).toMatchObject({
			ok: false,
			problem: { code: 'authority-unreadable' },
		});
	});

	it.skipIf(!hasOpenssl())('[RLY-53] OpenSSL (reference library) takes the chain for the host’s names', async () => {
		const { host, der } = await open();
		const root = join(folder, 'root.pem');
		const leaf = join(folder, 'leaf.pem');
		await writeFile(root, toPem(der));
		await writeFile(leaf, host.cert);
		const verify = (...more: string[]) =>
			openssl('verify', '-x509_strict', '-purpose', 'sslserver', '-CAfile', root, ...more, leaf);
		expect(verify('-verify_hostname', 'board.hangar.example')).toContain('OK');
		expect(verify('-verify_ip', '192.168.7.20')).toContain('OK');
		expect(() => verify('-verify_hostname', 'elsewhere.example')).toThrow();
		const text = openssl('x509', '-in', root, '-noout', '-text');
		for (const said of [
			'CA:TRUE, pathlen:0',
			'Certificate Sign',
			'Permitted:',
			'DNS:board.hangar.example',
			'IP:192.168.0.0/255.255.0.0',
		]) {
			expect(text).toContain(said);
		}
	});

	it.skipIf(!hasOpenssl())(
		'[RLY-53] whoever has its key can pass for no other name: OpenSSL refuses what it signs beyond',
		async () => {
			const { der } = await open();
			const kept = JSON.parse(await readFile(join(folder, 'authority.json'), 'utf8')) as {
				subject: string;
				key: string;
			};
			const root = join(folder, 'root.pem');
			await writeFile(root, toPem(der));
			const pair = generateKeyPairSync('ec', { namedCurve: 'P-256' });
			const forged = async (names: readonly string[], is: 'host' | 'authority' = 'host') => {
				const file = join(folder, 'forged.pem');
				const certificate = makeCertificate({
					subject: 'forged',
					publicKey: pair.publicKey,
					issuer: kept.subject,
					issuerKey: { privateKey: createPrivateKey(kept.key), publicKey: createPublicKey(kept.key) },
					fromMs: Date.now() - DAY_MS,
					untilMs: Date.now() + DAY_MS,
					is,
					names,
					random: seededRandom('forged'),
				});
				await writeFile(file, toPem(certificate));
				return () => openssl('verify', '-CAfile', root, file);
			};
			expect((await forged(['sub.board.hangar.example', '10.1.2.3', 'fd00::7']))()).toContain('OK');
			for (const beyond of [['bank.example'], ['board.hangar.example', '8.8.8.8'], ['2001:db8::1']]) {
				expect(await forged(beyond)).toThrow(/permitted subtree violation/);
			}
		},
	);
});

describe('addressBytes(text)', () => {
	it.each([
		['192.168.7.20', 'c0a80714'],
		['::1', '00000000000000000000000000000001'],
		['fe80::1:2%eth0', 'fe800000000000000000000000010002'],
		['2001:db8:0:0:8:800:200c:417a', '20010db80000000000080800200c417a'],
		['::', '00000000000000000000000000000000'],
	])('%s in network order', (text, hex) => {
		expect(addressBytes(text)?.toString('hex')).toBe(hex);
	});
	it('is null for a name', () => {
		expect(addressBytes('board.example')).toBeNull();
	});
});

describe('a host with an authority of its own', () => {
	let hangar: Hangar;
	let authority: OwnAuthority;
	beforeEach(async () => {
		authority = await open();
		hangar = await openHangar({ authority, name: 'localhost' });
	});
	afterEach(() => hangar.close());

	interface Got {
		readonly status: number;
		readonly headers: Readonly<Record<string, string | string[] | undefined>>;
		readonly body: Buffer;
	}

	function get(path: string, options: RequestOptions & { readonly secure: boolean }): Promise<Got> {
		const ask = options.secure ? secureRequest : plainRequest;
		return new Promise((resolve, reject) => {
			const headers = { host: `localhost:${hangar.relay.port}` };
			const sent = ask(
				{ host: '127.0.0.1', port: hangar.relay.port, path, headers, agent: false, ...options },
				(answer) => {
					const parts: Buffer[] = [];
					answer.on('data', (part: Buffer) => parts.push(part));
					answer.on('end', () =>
						resolve({ status: answer.statusCode ?? 0, headers: answer.headers, body: Buffer.concat(parts) }),
					);
				},
			);
			sent.on('error', reject);
			sent.end();
		});
	}
	const trusting = () => ({ secure: true, ca: toPem(authority.der), servername: 'localhost' });

	it('[RLY-53] answers https on its port for whoever trusts the authority, and for nobody else', async () => {
		expect(hangar.url).toBe('https://localhost');
		expect((await get('/health', trusting())).status).toBe(200);
		await expect(get('/health', { secure: true, servername: 'localhost' })).rejects.toThrow(
			/self.signed|unable to verify/i,
		);
	});

	it('[RLY-53] on the same port, without encryption: the certificate, fingerprint and words, and else only the way to https', async () => {
		const page = await get('/trust', { secure: false });
		expect(page.status).toBe(200);
		expect(page.body.toString()).toContain(authority.fingerprint);
		expect(page.body.toString()).toContain(authority.words);
		expect(page.headers['content-security-policy']).toContain("default-src 'none'");
		const file = await get('/trust/authority.crt', { secure: false });
		expect(file.headers['content-type']).toBe('application/x-x509-ca-cert');
		expect(file.body.equals(authority.der)).toBe(true);
		const other = await get('/check/a?b=c', { secure: false });
		expect(other.status).toBe(307);
		expect(other.headers.location).toBe(`https://localhost:${hangar.relay.port}/check/a?b=c`);
		expect((await get('/api/nonce', { secure: false, method: 'POST' })).status).toBe(403);
		expect((await get('/trust', { ...trusting() })).body.toString()).toContain(authority.words);
	});

	it('[RLY-53] a page without encryption gives nothing of a host’s name that was made up', async () => {
		const headers = { host: 'evil.example"><script>' };
		expect((await get('/trust', { secure: false, headers })).status).toBe(421);
	});

	it('[RLY-53] sockets go through the same port, encrypted only', async () => {
		const opened = (scheme: string, ca?: string) =>
			new Promise<string>((resolve) => {
				const socket = new WebSocket(`${scheme}://localhost:${hangar.relay.port}/sync/r`, ['stillmast.1', 'ticket.x'], {
					origin: `https://localhost:${hangar.relay.port}`,
					...(ca === undefined ? {} : { ca }),
				});
				socket.on('close', (code) => resolve(String(code)));
				socket.on('error', () => undefined);
			});
		expect(await opened('wss', toPem(authority.der))).toBe('4501');
		expect(await opened('ws')).toBe('1006');
	});

	it('[RLY-53] whoever connects and says nothing, or noise, disturbs nobody', async () => {
		const { connect } = await import('node:net');
		const noise = Array.from({ length: 20 }, (_, n) => {
			const socket = connect(hangar.relay.port, '127.0.0.1');
			socket.on('error', () => undefined);
			if (n % 2 === 0) socket.write(Buffer.from([n % 4 === 0 ? 22 : 0, 1, 2, 3, 255]));
			return socket;
		});
		expect((await get('/health', trusting())).status).toBe(200);
		for (const socket of noise) socket.destroy();
	});
});
