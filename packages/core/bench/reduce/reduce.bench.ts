import { cpus } from 'node:os';
import { Bench } from 'tinybench';
import { reduceSignals } from '../../src/vibration/index.js';
import { noisyRecording } from '../../test/rotor-recording.js';
import { errorsOver, setupWith } from './accuracy.js';

/** `node bench/build/bench/reduce/reduce.bench.js [seeds]` after `tsc -p bench/tsconfig.json`, in packages/core. */
const seeds = Number(process.argv[2] ?? 30);

const quantile = (values: readonly number[], share: number) =>
	[...values].sort((a, b) => a - b)[Math.round(share * (values.length - 1))] ?? Number.NaN;

const recording = noisyRecording(1);
const bench = new Bench({ time: 3000, warmupTime: 500 });
const kinds = [
	['512 points (default)', undefined],
	['256 points', 256],
] as const;
for (const [name, points] of kinds) bench.add(name, () => void reduceSignals(setupWith(points), recording.columns));
await bench.run();

console.log(
	`Node ${process.version}, ${cpus()[0]?.model ?? 'unknown'}; 60 s x 4 channels x 5 kHz and pulses, orders 1 to 4, ms`,
);
for (const { name, result } of bench.tasks) {
	if (result.state !== 'completed') throw new Error(`${name}: ${result.state}`);
	const { min, p50, p99 } = result.latency;
	console.log(`${name.padEnd(22)} min ${min.toFixed(1)}  median ${p50?.toFixed(1)}  p99 ${p99?.toFixed(1)}`);
}
// processor time does not count what other programs on the machine take
for (const [name, points] of kinds) {
	const before = process.cpuUsage();
	for (let k = 0; k < 100; k++) reduceSignals(setupWith(points), recording.columns);
	const { user, system } = process.cpuUsage(before);
	console.log(`${name.padEnd(22)} processor time ${((user + system) / 1000 / 100).toFixed(1)} (mean of 100)`);
}
console.log(
	`\nErrors over ${seeds} invented recordings, 16 readings each (amplitudes 0.05 to 0.45, noise 0.05 rms, tone 0.2 at 31.7 Hz)`,
);
for (const [name, points] of kinds) {
	const perRecording = errorsOver(seeds, points);
	const all = perRecording.flat();
	const worst = perRecording.map((errors) => Math.max(...errors.map(({ amplitudePct }) => amplitudePct)));
	const worstPhase = perRecording.map((errors) => Math.max(...errors.map(({ phaseDeg }) => phaseDeg)));
	const within = all.filter(({ amplitudePct, phaseDeg }) => amplitudePct <= 0.3 && phaseDeg <= 0.3).length / all.length;
	const rms = Math.sqrt(all.reduce((sum, { amplitudePct }) => sum + amplitudePct ** 2, 0) / all.length);
	const bound = Math.sqrt(all.reduce((sum, { boundPct }) => sum + boundPct ** 2, 0) / all.length);
	const sds = Math.sqrt(all.reduce((sum, error) => sum + error.sds ** 2, 0) / all.length);
	console.log(`${name}: recording 1 worst of 16: ${worst[0]?.toFixed(2)} %, ${worstPhase[0]?.toFixed(2)}°`);
	console.log(
		`  worst of 16: amplitude median ${quantile(worst, 0.5).toFixed(2)} %, 95th ${quantile(worst, 0.95).toFixed(2)} %; phase median ${quantile(worstPhase, 0.5).toFixed(2)}°, 95th ${quantile(worstPhase, 0.95).toFixed(2)}°`,
	);
	console.log(
		`  readings within 0.3 % and 0.3°: ${(100 * within).toFixed(1)} %; rms error ${rms.toFixed(3)} %, least possible in this noise ${bound.toFixed(3)} %; error in stated sds (rms) ${sds.toFixed(2)}`,
	);
}
