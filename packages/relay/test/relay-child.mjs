// A host in a process of its own, for tests that kill it. Argument: data folder. Tells its address, public key and id.
import { startRelay } from '../dist/index.js';

const relay = await startRelay({ port: 0, dataDir: process.argv[2], log: () => undefined });
const stop = () => relay.stop().then(() => process.exit(0));
process.on('SIGTERM', stop);
process.on('message', async (message) => {
	if (message === 'stop') await stop();
	else process.send({ adopted: await relay.adopt(message.record, message.entries) });
});
process.send({ url: relay.url, publicKey: relay.publicKey, pid: process.pid });
