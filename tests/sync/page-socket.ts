import { WebSocket } from 'ws';

/** The socket of a page: says where the page came from, and reports trouble by closing only. */
export class PageSocket extends WebSocket {
	constructor(url: URL, protocols: string[]) {
		super(url, protocols, { origin: `http://${url.host}` });
		this.on('error', () => undefined);
	}
}
