import { triangularise } from '../../linear/index.js';
import { fromPolar } from '../../phasor/index.js';
import type { RotorLayout } from './layout.js';
import type { Scatter } from './noise.js';
import type { ErrorPrior } from './prior.js';
import { type Pull, pullOf, respond } from './response.js';
import { type ModelPoint, sensitivity } from './sensitivity.js';
import { solveLocals, solveUpper } from './triangles.js';
import { blankValues, spell, type UnknownPlan, type Values } from './unknowns.js';

/** One size of the table's error and of the remainder, with the posterior under it: normal about `values`. */
export interface Fit {
	readonly prior: ErrorPrior;
	readonly remainderSd: number;
	readonly values: Values;
	/** Counts of prior standard deviations: globals, then channels × locals. */
	readonly global: Float64Array;
	readonly local: Float64Array;
	/** globals × globals, column-major upper triangle: the square root of the information on the globals. */
	readonly globalRoot: Float64Array;
	/** Per channel: locals × (locals + globals), column-major: the triangle of the locals and their tie to the globals. */
	readonly localRoots: readonly Float64Array[];
	/** log of the probability of the readings, up to a constant shared by all fits of one layout and scatter. */
	readonly logEvidence: number;
}

export interface FitStart {
	readonly global: Float64Array;
	readonly local: Float64Array;
}

const mostRounds = 12;

/**
 * The most probable unknowns and the normal spread about them (Gauss–Newton, then Laplace). Each round is one
 * square-root least squares: the locals of each channel are turned out first, so the cost grows with the channels only
 * linearly. `limit` bounds the rounds.
 */
export function fitUnknowns(
	layout: RotorLayout,
	plan: UnknownPlan,
	scatter: Scatter,
	prior: ErrorPrior,
	remainderSd: number,
	start: FitStart | null,
	limit: number = mostRounds,
): Fit {
	const channels = layout.channels.length;
	let global: Float64Array = start ? start.global.slice() : new Float64Array(plan.globals);
	let local: Float64Array = start ? start.local.slice() : new Float64Array(channels * plan.locals);
	const values = blankValues(layout);
	const trial = { layout, plan, scatter, prior, remainderSd, values };
	let cost = costAt(trial, global, local);
	for (let round = 0; ; round++) {
		const solved = linearise(trial, global, local);
		const last = round + 1 >= limit;
		let step = 1;
		let nextGlobal = solved.global;
		let nextLocal = solved.local;
		let nextCost = costAt(trial, nextGlobal, nextLocal);
		while (nextCost > cost + 1e-9 && step > 0.05) {
			step /= 2;
			nextGlobal = between(global, solved.global, step);
			nextLocal = between(local, solved.local, step);
			nextCost = costAt(trial, nextGlobal, nextLocal);
		}
		const settled = largestStep(global, nextGlobal, local, nextLocal) < 2e-3 || nextCost > cost + 1e-9;
		if (nextCost <= cost + 1e-9) {
			global = nextGlobal;
			local = nextLocal;
			cost = nextCost;
		} else {
			costAt(trial, global, local);
		}
		if (settled || last) {
			return {
				prior,
				remainderSd,
				values,
				global,
				local,
				globalRoot: solved.globalRoot,
				localRoots: solved.localRoots,
				logEvidence: -cost / 2 - solved.logDeterminant,
			};
		}
	}
}

interface Trial extends ModelPoint {
	readonly scatter: Scatter;
}

function between(from: Float64Array, to: Float64Array, share: number): Float64Array {
	return from.map((value, i) => value + share * (to[i]! - value));
}

function largestStep(a: Float64Array, b: Float64Array, c: Float64Array, d: Float64Array): number {
	let largest = 0;
	for (let i = 0; i < a.length; i++) largest = Math.max(largest, Math.abs(a[i]! - b[i]!));
	for (let i = 0; i < c.length; i++) largest = Math.max(largest, Math.abs(c[i]! - d[i]!));
	return largest;
}

/** Twice the negative log posterior at these unknowns; leaves them spelled out in `trial.values`. */
function costAt(trial: Trial, global: Float64Array, local: Float64Array): number {
	const { layout, plan, scatter, prior, remainderSd, values } = trial;
	spell(layout, plan, prior, remainderSd, global, local, values);
	let cost = 0;
	for (const z of global) cost += z * z;
	for (const z of local) cost += z * z;
	const v = new Float64Array(2);
	for (const [r, run] of layout.runs.entries()) {
		const pull = pullOf(layout, values, run.moved, run.bendOf);
		for (let k = 0; k < layout.channels.length; k++) {
			const reading = run.readings[k];
			if (!reading) continue;
			const at = r * layout.channels.length + k;
			respond(layout, values, k, pull, v);
			const re = v[0]! + scatter.sharedSd[at]! * values.gust[2 * r]!;
			const im = v[1]! + scatter.sharedSd[at]! * values.gust[2 * r + 1]!;
			const sd = scatter.ownSd[at]!;
			if (reading.phaseDeg === null || reading.phaseDeg === undefined) {
				cost += ((reading.amplitudeIps - Math.hypot(re, im)) / sd) ** 2;
			} else {
				const seen = fromPolar(reading.amplitudeIps, reading.phaseDeg);
				cost += ((seen.re - re) ** 2 + (seen.im - im) ** 2) / (sd * sd);
			}
		}
	}
	return cost;
}

interface Linearised {
	readonly global: Float64Array;
	readonly local: Float64Array;
	readonly globalRoot: Float64Array;
	readonly localRoots: readonly Float64Array[];
	readonly logDeterminant: number;
}

/** One square-root least squares with the response made linear about these unknowns (already spelled out). */
function linearise(trial: Trial, global: Float64Array, local: Float64Array): Linearised {
	const { layout, plan } = trial;
	const { globals, locals } = plan;
	const channels = layout.channels.length;
	const pulls = layout.runs.map((run) => pullOf(layout, trial.values, run.moved, run.bendOf));
	const dataRows = layout.channels.map((_, k) => rowsOf(layout, k));
	const stackRows = globals + dataRows.reduce((sum, n) => sum + n, 0);
	const stack = new Float64Array(stackRows * (globals + 1));
	for (let i = 0; i < globals; i++) stack[i * stackRows + i] = 1;
	const localRoots: Float64Array[] = [];
	const localHeads: Float64Array[] = [];
	let logDeterminant = 0;
	let filled = globals;
	for (let k = 0; k < channels; k++) {
		const rows = locals + dataRows[k]!;
		const columns = locals + globals + 1;
		const block = new Float64Array(rows * columns);
		for (let i = 0; i < locals; i++) block[i * rows + i] = 1;
		fillChannel(trial, k, pulls, block, rows, global, local);
		triangularise(block, rows, columns, locals, locals);
		const root = new Float64Array(locals * (locals + globals));
		for (let j = 0; j < locals + globals; j++)
			for (let i = 0; i < locals; i++) root[j * locals + i] = block[j * rows + i]!;
		localRoots.push(root);
		localHeads.push(block.slice((columns - 1) * rows, (columns - 1) * rows + locals));
		for (let i = 0; i < locals; i++) logDeterminant += Math.log(Math.abs(root[i * locals + i]!));
		for (let j = 0; j <= globals; j++) {
			const from = (locals + j) * rows;
			const to = j * stackRows + filled;
			for (let i = locals; i < rows; i++) stack[to + i - locals] = block[from + i]!;
		}
		filled += rows - locals;
	}
	triangularise(stack, stackRows, globals + 1, globals, globals);
	const globalRoot = new Float64Array(globals * globals);
	const nextGlobal = new Float64Array(globals);
	for (let j = 0; j < globals; j++) {
		for (let i = 0; i <= j; i++) globalRoot[j * globals + i] = stack[j * stackRows + i]!;
		logDeterminant += Math.log(Math.abs(stack[j * stackRows + j]!));
	}
	for (let i = 0; i < globals; i++) nextGlobal[i] = stack[globals * stackRows + i]!;
	solveUpper(globalRoot, globals, globals, nextGlobal, 0);
	const nextLocal = new Float64Array(channels * locals);
	for (let k = 0; k < channels; k++) {
		solveLocals(localRoots[k]!, locals, globals, localHeads[k]!, nextGlobal, nextLocal, k * locals);
	}
	return { global: nextGlobal, local: nextLocal, globalRoot, localRoots, logDeterminant };
}

function rowsOf(layout: RotorLayout, k: number): number {
	let rows = 0;
	for (const run of layout.runs) {
		const reading = run.readings[k];
		if (reading) rows += reading.phaseDeg === null || reading.phaseDeg === undefined ? 1 : 2;
	}
	return rows;
}

/** Writes the channel's weighted rows and right-hand side below the prior rows of its block. */
function fillChannel(
	trial: Trial,
	k: number,
	pulls: readonly Pull[],
	block: Float64Array,
	rows: number,
	global: Float64Array,
	local: Float64Array,
): void {
	const { layout, plan, scatter, values } = trial;
	const { locals, globals } = plan;
	const columns = locals + globals;
	const channels = layout.channels.length;
	const v = new Float64Array(2);
	// re and im rows of the sensitivity, before weighting
	const re = new Float64Array(columns);
	const im = new Float64Array(columns);
	let row = locals;
	for (const [r, run] of layout.runs.entries()) {
		const reading = run.readings[k];
		if (!reading) continue;
		const at = r * channels + k;
		const pull = pulls[r]!;
		respond(layout, values, k, pull, v);
		const shared = scatter.sharedSd[at]!;
		const here = { re: v[0]! + shared * values.gust[2 * r]!, im: v[1]! + shared * values.gust[2 * r + 1]! };
		re.fill(0);
		im.fill(0);
		sensitivity(trial, k, pull, run.moved, run.bendOf, re, im);
		const gust = plan.gustAt(r);
		if (gust >= 0) {
			re[locals + gust] = shared;
			im[locals + gust + 1] = shared;
		}
		const weight = 1 / scatter.ownSd[at]!;
		// the linear model's value at zero unknowns: seen − here + J·z
		let backRe = 0;
		let backIm = 0;
		for (let i = 0; i < locals; i++) {
			backRe += re[i]! * local[k * locals + i]!;
			backIm += im[i]! * local[k * locals + i]!;
		}
		for (let i = 0; i < globals; i++) {
			backRe += re[locals + i]! * global[i]!;
			backIm += im[locals + i]! * global[i]!;
		}
		if (reading.phaseDeg === null || reading.phaseDeg === undefined) {
			// only the size was read: the row along the present direction
			const size = Math.hypot(here.re, here.im);
			const c = size > 0 ? here.re / size : 1;
			const s = size > 0 ? here.im / size : 0;
			for (let i = 0; i < columns; i++) block[i * rows + row] = weight * (c * re[i]! + s * im[i]!);
			block[columns * rows + row] = weight * (reading.amplitudeIps - size + c * backRe + s * backIm);
			row += 1;
			continue;
		}
		const seen = fromPolar(reading.amplitudeIps, reading.phaseDeg);
		for (let i = 0; i < columns; i++) {
			block[i * rows + row] = weight * re[i]!;
			block[i * rows + row + 1] = weight * im[i]!;
		}
		block[columns * rows + row] = weight * (seen.re - here.re + backRe);
		block[columns * rows + row + 1] = weight * (seen.im - here.im + backIm);
		row += 2;
	}
}
