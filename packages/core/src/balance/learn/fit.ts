import { triangularise } from '../../linear/index.js';
import { fromPolar } from '../../phasor/index.js';
import type { RotorLayout } from './layout.js';
import type { Scatter } from './noise.js';
import type { ErrorPrior } from './prior.js';
import { type Pull, pullOf, respond } from './response.js';
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

interface Trial {
	readonly layout: RotorLayout;
	readonly plan: UnknownPlan;
	readonly scatter: Scatter;
	readonly prior: ErrorPrior;
	readonly remainderSd: number;
	readonly values: Values;
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

/** Back substitution in place; column-major with the given leading dimension. */
export function solveUpper(root: Float64Array, order: number, lead: number, x: Float64Array, at: number): void {
	for (let j = order - 1; j >= 0; j--) {
		const value = x[at + j]! / root[j * lead + j]!;
		x[at + j] = value;
		for (let i = 0; i < j; i++) x[at + i]! -= value * root[j * lead + i]!;
	}
}

/** Solves R'w = s in place for a column-major upper triangle: then w·w is the variance of s·z. */
export function forward(root: Float64Array, order: number, s: Float64Array, at: number): void {
	for (let i = 0; i < order; i++) {
		let sum = s[at + i]!;
		const column = i * order;
		for (let j = 0; j < i; j++) sum -= root[column + j]! * s[at + j]!;
		s[at + i] = sum / root[column + i]!;
	}
}

/** The locals of a channel that go with given globals: R_ll·x = head − R_lg·global. */
export function solveLocals(
	root: Float64Array,
	locals: number,
	globals: number,
	head: Float64Array,
	global: Float64Array,
	into: Float64Array,
	at: number,
): void {
	for (let i = 0; i < locals; i++) into[at + i] = head[i]!;
	for (let j = 0; j < globals; j++) {
		const value = global[j]!;
		if (value === 0) continue;
		const from = (locals + j) * locals;
		for (let i = 0; i < locals; i++) into[at + i]! -= value * root[from + i]!;
	}
	solveUpper(root, locals, locals, into, at);
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

/** Adds ∂v_k/∂z of every unknown at these settings: locals first, then globals; gusts are the caller's. */
export function sensitivity(
	trial: Pick<Trial, 'layout' | 'plan' | 'prior' | 'remainderSd' | 'values'>,
	k: number,
	pull: Pull,
	moved: Float64Array,
	bendOf: Int32Array,
	re: Float64Array,
	im: Float64Array,
): void {
	const { layout, plan, prior, values } = trial;
	const kinds = layout.kinds.length;
	const { locals } = plan;
	for (let m = 0; m < kinds; m++) {
		const at = 2 * (k * kinds + m);
		const tRe = layout.table[at]!;
		const tIm = layout.table[at + 1]!;
		if (tRe === 0 && tIm === 0) continue;
		const gRe = values.factor[2 * m]!;
		const gIm = values.factor[2 * m + 1]!;
		const pRe = pull.plain[2 * m]!;
		const pIm = pull.plain[2 * m + 1]!;
		const oRe = 1 + values.channelOwn[at]!;
		const oIm = values.channelOwn[at + 1]!;
		// channel's own part: T·(fault + factor·plain)
		const fRe = values.fault[2 * m]! + gRe * pRe - gIm * pIm;
		const fIm = values.fault[2 * m + 1]! + gRe * pIm + gIm * pRe;
		circular(re, im, 2 * m, prior.channelSd[k * kinds + m]!, tRe * fRe - tIm * fIm, tRe * fIm + tIm * fRe);
		// fault: T·(1 + own)
		const wRe = tRe * oRe - tIm * oIm;
		const wIm = tRe * oIm + tIm * oRe;
		circular(re, im, locals + plan.faultAt(m), prior.faultSd[m]!, wRe, wIm);
		// factor: T·((1 + own)·plain + own parts), turned to along and across its mean
		const dRe = wRe * pRe - wIm * pIm + tRe * pull.own[2 * m]! - tIm * pull.own[2 * m + 1]!;
		const dIm = wRe * pIm + wIm * pRe + tRe * pull.own[2 * m + 1]! + tIm * pull.own[2 * m]!;
		const size = Math.hypot(prior.factor[2 * m]!, prior.factor[2 * m + 1]!) || 1;
		const c = prior.factor[2 * m]! / size;
		const s = prior.factor[2 * m + 1]! / size;
		const uRe = dRe * c - dIm * s;
		const uIm = dRe * s + dIm * c;
		const factor = locals + plan.factorAt(m);
		re[factor]! += prior.alongSd[m]! * uRe;
		im[factor]! += prior.alongSd[m]! * uIm;
		re[factor + 1]! -= prior.acrossSd[m]! * uIm;
		im[factor + 1]! += prior.acrossSd[m]! * uRe;
		// T·factor, for the adjusters' own parts; T·factor·(1 + own), for bends
		const qRe = tRe * gRe - tIm * gIm;
		const qIm = tRe * gIm + tIm * gRe;
		const bRe = wRe * gRe - wIm * gIm;
		const bIm = wRe * gIm + wIm * gRe;
		for (let j = 0; j < layout.adjusters.length; j++) {
			if (layout.kindOf[j] !== m) continue;
			const eRe = layout.turn[2 * j]!;
			const eIm = layout.turn[2 * j + 1]!;
			const step = moved[j]!;
			if (step !== 0) {
				const own = locals + plan.ownAt(j);
				circular(re, im, own, prior.adjusterSd[j]! * step, qRe * eRe - qIm * eIm, qRe * eIm + qIm * eRe);
			}
			const bend = bendOf[j]!;
			if (bend >= 0) {
				const to = locals + plan.bendAt(bend);
				re[to]! += layout.bends[bend]!.sd * (bRe * eRe - bIm * eIm);
				im[to]! += layout.bends[bend]!.sd * (bRe * eIm + bIm * eRe);
			}
		}
	}
	re[2 * kinds]! += trial.remainderSd;
	im[2 * kinds + 1]! += trial.remainderSd;
}

/** Adds the two real columns of a complex unknown with a circular spread. */
function circular(re: Float64Array, im: Float64Array, at: number, sd: number, dRe: number, dIm: number): void {
	re[at]! += sd * dRe;
	im[at]! += sd * dIm;
	re[at + 1]! -= sd * dIm;
	im[at + 1]! += sd * dRe;
}
