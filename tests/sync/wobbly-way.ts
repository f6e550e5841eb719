import { connect, createServer, type Server, type Socket } from 'node:net';

/** A stretch of network between a device and the relay that can be cut, or stall without a word. */
export class WobblyWay {
	readonly #server: Server;
	readonly #pairs = new Set<readonly [Socket, Socket]>();
	#stalled = false;
	port = 0;

	static async to(port: number): Promise<WobblyWay> {
		const way = new WobblyWay(port);
		await new Promise<void>((resolve) => way.#server.listen(0, '127.0.0.1', resolve));
		const address = way.#server.address();
		way.port = typeof address === 'object' && address ? address.port : 0;
		return way;
	}

	private constructor(port: number) {
		this.#server = createServer((near) => {
			const far = connect(port, '127.0.0.1');
			const pair = [near, far] as const;
			this.#pairs.add(pair);
			const end = () => {
				this.#pairs.delete(pair);
				near.destroy();
				far.destroy();
			};
			near.on('error', end).on('close', end);
			far.on('error', end).on('close', end);
			near.on('data', (bytes) => this.#pass(bytes, far));
			far.on('data', (bytes) => this.#pass(bytes, near));
		});
	}

	get url(): string {
		return `http://127.0.0.1:${this.port}`;
	}

	/** Nothing arrives any more, in either direction, and nobody is told. */
	stall(): void {
		this.#stalled = true;
	}

	/** New connections get through again; what was swallowed is gone, and old connections with it. */
	mend(): void {
		this.#stalled = false;
		this.cut();
	}

	cut(): void {
		for (const [near, far] of [...this.#pairs]) {
			near.destroy();
			far.destroy();
		}
	}

	async close(): Promise<void> {
		this.cut();
		await new Promise((resolve) => this.#server.close(resolve));
	}

	#pass(bytes: Buffer, to: Socket): void {
		if (!this.#stalled) to.write(bytes);
	}
}
