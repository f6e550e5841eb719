// node ours.mjs FOLDER [DATABASE]: the relay as it is served, with nothing slowed down on purpose, since a bench asks how
// fast it can go. One line of JSON when it listens, one in answer to each line that it reads.
import { createInterface } from 'node:readline';
import { startRelay } from '../../dist/index.js';

const [folder, database] = process.argv.slice(2);
const free = { perSecond: 1e12, burst: 1e12 };
const limits = { frames: free, bytes: free, nonces: { burst: 1e6, perMinute: 1e6 } };
const store = database ? await (await import('../../dist/index.js')).openPostgresStore(database) : undefined;
const relay = await startRelay({ port: 0, dataDir: folder, log: () => undefined, limits, ...(store && { store }) });
process.once('SIGTERM', async () => {
	await relay.stop();
	process.exit(0);
});
process.stdout.write(`${JSON.stringify({ url: relay.url, publicKey: relay.publicKey })}\n`);
for await (const line of createInterface({ input: process.stdin })) {
	const { record, entries } = JSON.parse(line);
	process.stdout.write(`${JSON.stringify(await relay.adopt(record, entries))}\n`);
}
