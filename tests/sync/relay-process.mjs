// Runs the relay as a process of its own, so that a test can kill it in the middle of its work.
// node relay-process.mjs FOLDER PORT: prints one line of JSON when it listens, then one in answer to each line it reads.
import { createInterface } from 'node:readline';
import { startRelay } from '@stillmast/relay';

const [dataDir, port] = process.argv.slice(2);
const relay = await startRelay({ port: Number(port), dataDir, log: () => undefined });
process.stdout.write(`${JSON.stringify({ url: relay.url, port: relay.port, publicKey: relay.publicKey })}\n`);
for await (const line of createInterface({ input: process.stdin })) {
	const { record, role, entries } = JSON.parse(line);
	const answer = entries ? await relay.adopt(record, entries) : await relay.createInvite(record, role, 1, 1);
	process.stdout.write(`${JSON.stringify(answer)}\n`);
}
await relay.stop();
