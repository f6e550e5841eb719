import loadHighs from 'highs';
import { Matrix, QrDecomposition } from 'ml-matrix';
import { Bench } from 'tinybench';
import { chooseSettings } from '../../src/balance/choice/choose-settings.js';
import { solveRotor } from '../../src/balance/index.js';
import { leastSquares } from '../../src/linear/index.js';
import { campaign } from './campaign.js';
import { asChoice, asLinearProgram, type DiscreteRotor, discreteRotor, worstOverGoal } from './discrete-rotor.js';
import { SHAPES } from './rotor-shape.js';
import { seeded } from './seeded.js';
import { drawRotor, problemOf } from './simulated-rotor.js';
import { quantile } from './statistics.js';
import { answered, learning } from './strategies.js';
import { table, verdict } from './table.js';

const SIDES = 32;

interface Case {
	readonly blades: number;
	/** Null for no limit. */
	readonly touches: number | null;
	readonly target: (timing: CaseTiming) => string;
}

interface CaseTiming {
	readonly ours: readonly number[];
	readonly highs: readonly number[];
	readonly firstMs: readonly number[];
	readonly ratio: number;
}

const atLeast = (times: number) => (t: CaseTiming) => `≥ ${times} × : ${verdict(t.ratio >= times, true)}`;
const closed = (t: CaseTiming) =>
	`median ≤ 60 ms, p95 ≤ 400 ms: ${verdict(quantile(t.ours, 0.5) <= 60 && quantile(t.ours, 0.95) <= 400, true)}`;
const notSlower = (t: CaseTiming) => {
	const reached = quantile(t.ours, 0.5) <= quantile(t.highs, 0.5) && quantile(t.firstMs, 0.95) <= 50;
	return `first ≤ 50 ms, median proof no slower: ${verdict(reached, true)}`;
};

const CASES: readonly Case[] = [
	{ blades: 3, touches: null, target: atLeast(20) },
	{ blades: 3, touches: 4, target: atLeast(60) },
	{ blades: 4, touches: 5, target: closed },
	{ blades: 5, touches: 5, target: closed },
	{ blades: 4, touches: null, target: notSlower },
	{ blades: 5, touches: null, target: notSlower },
];

/** One timing of `run` in ms by tinybench, after `warmups` calls that are not counted. */
async function medianMs(iterations: number, warmups: number, run: () => void): Promise<number> {
	for (let i = 0; i < warmups; i++) run();
	const bench = new Bench({ time: 0, iterations, warmup: false, retainSamples: true });
	bench.add('task', run);
	await bench.run();
	const result = bench.tasks[0]!.result;
	if (result.state !== 'completed') throw new Error(`bench ended as ${result.state}`);
	return result.latency.p50;
}

/** Time the processor spends on it: what one core that does nothing else would take. */
function cpuMs(run: () => void): number {
	const before = process.cpuUsage();
	run();
	const { user, system } = process.cpuUsage(before);
	return (user + system) / 1000;
}

/** Exact choice beside HiGHS on the same instances in the same run. */
export async function choiceSpeed(instances: number, say: (line: string) => void): Promise<string> {
	// The package's types describe a module object where Node resolves the function itself.
	const highs = await (loadHighs as unknown as typeof loadHighs.default)();
	const rows: string[][] = [];
	for (const { blades, touches, target } of CASES) {
		const count = blades + 2 * (blades - 1);
		const most = touches ?? count;
		const ours: number[] = [];
		const theirs: number[] = [];
		const firstMs: number[] = [];
		let worse = 0;
		let exact = 0;
		for (let seed = 901; seed < 906; seed++) chooseSettings(asChoice(draw(blades, seed), most), { nodeLimit: 20_000 });
		for (let seed = 1; seed <= instances; seed++) {
			const rotor = draw(blades, seed);
			const problem = asChoice(rotor, most);
			const outcome = chooseSettings(problem);
			const answer = outcome.byTouches[0]!;
			if (answer.state !== 'found' || !answer.proved) throw new Error('not proved');
			ours.push(await medianMs(3, 0, () => void chooseSettings(problem)));
			const startedMs = performance.now();
			let first = Number.NaN;
			chooseSettings(problem, {
				onProgress: () => {
					if (Number.isNaN(first)) first = performance.now() - startedMs;
				},
				stop: () => !Number.isNaN(first),
			});
			firstMs.push(first);
			const text = asLinearProgram(rotor, SIDES, most);
			let solution: { readonly Columns: Readonly<Record<string, object>> } = { Columns: {} };
			const solve = () => {
				solution = highs.solve(text, { time_limit: 120 });
			};
			theirs.push(await medianMs(1, 0, solve));
			const settings = rotor.low.map((_, j) => Math.round((solution.Columns[`x${j}`] as { Primal: number }).Primal));
			const over = worstOverGoal(rotor, answer.best.settings) / worstOverGoal(rotor, settings);
			if (over > 1 + 1e-9) worse++;
			if (over > 1 - 1e-9) exact++;
		}
		const ratio = quantile(
			theirs.map((ms, i) => ms / ours[i]!),
			0.5,
		);
		rows.push([
			`${blades} blades, ${count} adjusters, ${touches === null ? 'no limit' : `≤ ${touches} changes`}`,
			`${instances}`,
			spreadText(ours),
			spreadText(theirs),
			`${ratio.toPrecision(3)} ×`,
			quantile(firstMs, 0.95).toPrecision(3),
			`${instances - worse} of ${instances}`,
			`${exact} of ${instances}`,
			target({ ours, highs: theirs, firstMs, ratio }),
		]);
		say(rows.at(-1)!.join(' | '));
	}
	return table(
		[
			'instances',
			'count',
			'ours, ms: median / p95 / max',
			`HiGHS (${SIDES} sides), ms`,
			'median of paired ratios',
			'first proposal p95, ms',
			'never worse',
			'HiGHS as good',
			'target',
		],
		rows,
	);
}

/** Least squares beside ml-matrix, and learning with chances and proposals. */
export async function solveSpeed(rotors: number): Promise<string> {
	const random = seeded(77);
	const rowsCount = 24;
	const columns = 13;
	const design = Array.from({ length: rowsCount }, () => Array.from({ length: columns }, random.normal));
	const right = Array.from({ length: rowsCount }, random.normal);
	const ours = await medianMs(2000, 200, () => void leastSquares(design, right));
	const theirs = await medianMs(
		2000,
		200,
		() => void new QrDecomposition(new Matrix(design)).solve(Matrix.columnVector(right)),
	);
	const asked: number[] = [];
	const whole: number[] = [];
	for (let seed = 1; whole.length < rotors; seed++) {
		const wrong = { gainSd: 0.45, phaseSdDeg: 50, statedShare: 1, remainderSdIps: 0.05, defectIps: 0.3 };
		const rotor = drawRotor(SHAPES['five-blade'], wrong, seeded(seed));
		const flown = campaign(rotor, learning(), seeded(9000 + seed), () => performance.now());
		if (flown === null || flown.runs.length < 6) continue;
		const problem = problemOf(rotor, flown.runs.slice(0, 6));
		if (whole.length === 0) solveRotor(problem);
		asked.push(cpuMs(() => void answered(problem, problem.runs!)));
		whole.push(cpuMs(() => void solveRotor(problem)));
	}
	const reached = quantile(asked, 0.5) <= 250;
	return table(
		['what', 'ours, ms', 'beside', 'target'],
		[
			[
				`least squares, ${rowsCount} × ${columns}, by orthogonal triangles`,
				ours.toPrecision(3),
				`ml-matrix QrDecomposition ${theirs.toPrecision(3)} ms (${(theirs / ours).toPrecision(3)} ×)`,
				'',
			],
			[
				`learning, chances and proposals: five blades, 15 adjusters of which 13 free, six runs (${rotors} rotors; processor time: median / p95 / max)`,
				spreadText(asked),
				'',
				`median ≤ 250 ms: ${verdict(reached, true)}`,
			],
			['the same with the audit and what it would change', spreadText(whole), '', ''],
		],
	);
}

function draw(blades: number, seed: number): DiscreteRotor {
	return discreteRotor(blades, seeded(seed).uniform);
}

function spreadText(ms: readonly number[]): string {
	return [0.5, 0.95, 1].map((p) => quantile(ms, p).toPrecision(3)).join(' / ');
}
