import { createHash } from 'node:crypto';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { Addressing } from '../access/origins.js';
import type { OwnAuthority } from '../certificate/authority.js';
import { setSecurityHeaders } from '../http/headers.js';

const PAGE = '/trust';
const CERTIFICATE = '/trust/authority.crt';

const style = `
:root { color-scheme: light dark; font: 1.15rem/1.5 system-ui, sans-serif; }
body { max-width: 38rem; margin: 0 auto; padding: 1.5rem; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.2rem; margin-top: 2rem; }
code, .words { font: 700 1.3rem/1.4 ui-monospace, monospace; overflow-wrap: anywhere; }
a.do { display: inline-block; min-height: 3.2rem; padding: 0.6rem 1.2rem; border: 2px solid currentColor; border-radius: 0.4rem; font-weight: 700; }
#proof { font-weight: 700; } dt { font-weight: 700; } dd { margin: 0 0 0.6rem; }
`;

/** Says what is true on this device: the proof is a service worker that the browser takes, which needs real trust. */
const script = `
const proof = document.getElementById('proof');
const say = (text) => { proof.textContent = text; };
if (location.protocol !== 'https:') say('Not asked yet: this page came without encryption. Take the certificate in, then press Prove it.');
else if (!isSecureContext || !('serviceWorker' in navigator)) say('Not proved: the browser does not trust this host.');
else navigator.serviceWorker.register('/service-worker.js')
	.then(() => navigator.serviceWorker.ready)
	.then(() => say('Proved: this device trusts the host, and the board will open here without a network.'))
	.catch((error) => say('Not proved: ' + error.message));
`;

const digest = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
const policy = `default-src 'none'; style-src ${digest(style)}; script-src ${digest(script)}; worker-src 'self'; connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'`;

/** Serves the page and the certificate; false for every other path. Nothing on it is secret. */
export function serveTrust(
	{ der, fingerprint, words }: OwnAuthority,
	request: IncomingMessage,
	response: ServerResponse,
): boolean {
	const path = pathOf(request);
	if (request.method !== 'GET' || (path !== PAGE && path !== CERTIFICATE)) return false;
	response.setHeader('cache-control', 'no-store');
	if (path === CERTIFICATE) {
		response.setHeader('content-type', 'application/x-x509-ca-cert');
		response.setHeader('content-disposition', 'attachment; filename="stillmast-authority.crt"');
		response.end(der);
		return true;
	}
	response.setHeader('content-security-policy', policy);
	response.setHeader('content-type', 'text/html; charset=utf-8');
	response.end(page(hostOf(request), fingerprint, words));
	return true;
}

/** What comes without encryption: the page that leads to it, and the way to the same address with it. */
export function createPlainWeb(authority: OwnAuthority, addressing: Addressing): Server {
	return createServer((request, response) => {
		setSecurityHeaders(response, false);
		const host = hostOf(request);
		if (!addressing.knowsHost(host)) {
			response.writeHead(421).end();
			return;
		}
		if (serveTrust(authority, request, response)) return;
		const follows = request.method === 'GET' || request.method === 'HEAD';
		response.writeHead(follows ? 307 : 403, follows ? { location: `https://${host}${request.url ?? '/'}` } : {}).end();
	});
}

const pathOf = (request: IncomingMessage) => (request.url ?? '/').split('?', 1)[0] ?? '/';
/** Only what a host name may hold: it is written into a page and a header. */
const hostOf = ({ headers }: IncomingMessage) => /^[\w.:[\]-]{1,255}$/.exec(headers.host ?? '')?.[0] ?? '';

function page(host: string, fingerprint: string, words: string): string {
	return `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Trust this host</title>
<style>${style}</style>
<h1>Let this device trust the host</h1>
<p>The host ${host} vouches for itself: its certificate is signed by an authority that was made on it and belongs to nobody else. That authority can vouch for this host's names and for private addresses only.</p>
<h2>1. Compare</h2>
<p>These three words stand on the host's own screen. If they are others, this is another host: stop here.</p>
<p class="words">${words}</p>
<p>This page itself is not protected yet. Before you trust the certificate, compare its SHA-256 fingerprint, as your device shows it, with the one on the host's screen:</p>
<p><code>${fingerprint}</code></p>
<h2>2. Take it in</h2>
<p><a class="do" href="${CERTIFICATE}">The certificate</a></p>
<dl>
<dt>iPad, iPhone</dt><dd>Open the file, then Settings: install the downloaded profile. Then General, About, Certificate Trust Settings: switch it on.</dd>
<dt>Android</dt><dd>Settings: search for CA certificate, install it from storage.</dd>
<dt>Windows</dt><dd>Open the file, install it into Trusted Root Certification Authorities.</dd>
<dt>macOS</dt><dd>Open the file, add it to the keychain, set it to Always Trust.</dd>
<dt>Linux, Firefox</dt><dd>Browser settings, certificates, authorities: import it for web sites.</dd>
</dl>
<h2>3. Prove it</h2>
<p><a class="do" href="https://${host}${PAGE}">Prove it</a></p>
<p id="proof" role="status">No answer yet.</p>
<script>${script}</script>
</html>
`;
}
