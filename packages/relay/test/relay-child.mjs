// A host in a process of its own, for tests that kill it. Arguments: data folder; `hasty` lets a minute go by in half a
// second, so that refusing writes after the third failure ends while a test waits. Tells its address, public key and id.
import { startRelay } from '../dist/index.js';

const [dataDir, pace] = process.argv.slice(2);
const speed = pace === 'hasty' ? 120 : 1;
const clock = {
	nowMs: () => Date.now(),
	monotonicMs: () => performance.now() * speed,
	after(delayMs, work) {
		const timer = setTimeout(work, delayMs);
		return () => clearTimeout(timer);
	},
};
const relay = await startRelay({ port: 0, dataDir, clock, log: () => undefined });
const stop = () => relay.stop().then(() => process.exit(0));
process.on('SIGTERM', stop);
process.on('message', async (message) => {
	if (message === 'stop') await stop();
	else process.send({ adopted: await relay.adopt(message.record, message.entries).catch(String) });
});
process.send({ url: relay.url, publicKey: relay.publicKey, pid: process.pid });
