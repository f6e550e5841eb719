// A host in a process of its own, for tests that kill it. Arguments: data folder. Prints one line: port and public key.
import { startRelay } from '../dist/index.js';

const relay = await startRelay({ port: 0, dataDir: process.argv[2], log: () => undefined });
process.on('SIGTERM', () => {
	relay.stop().then(() => process.exit(0));
});
process.on('message', async ({ record, entries }) => {
	process.send({ adopted: await relay.adopt(record, entries) });
});
process.send({ url: relay.url, publicKey: relay.publicKey });
