import { type Fit, fitUnknowns } from './fit.js';
import type { RotorLayout } from './layout.js';
import { scatterAt } from './noise.js';
import { errorPrior } from './prior.js';
import { pullOf, respond } from './response.js';
import type { UnknownPlan } from './unknowns.js';

/** Directions tried for the fault when no reading has a phase. */
const directions = 12;
const rounds = 4;

/**
 * Where the fault is, from the readings alone: one fit, or, when no phase was ever read, one from each direction the
 * fault may have; runs with different settings tell those apart.
 */
export function firstLooks(layout: RotorLayout, plan: UnknownPlan, remainderSd: number): readonly Fit[] {
	const open = errorPrior(layout, 1, null);
	const scatter = scatterAt(layout, measuredLevels(layout));
	const look = (start: Float64Array | null): Fit =>
		fitUnknowns(
			layout,
			plan,
			scatter,
			open,
			remainderSd,
			start && { global: start, local: new Float64Array(layout.channels.length * plan.locals) },
			rounds,
		);
	const anyPhase = layout.runs.some((run) => run.readings.some((r) => (r?.phaseDeg ?? null) !== null));
	const fault = anyPhase ? null : strongestFault(layout);
	if (fault === null) return [look(null)];
	return Array.from({ length: directions }, (_, n) => {
		const angle = (2 * Math.PI * n) / directions;
		const global = new Float64Array(plan.globals);
		global[plan.faultAt(fault.kind)] = (fault.units * Math.cos(angle)) / open.faultSd[fault.kind]!;
		global[plan.faultAt(fault.kind) + 1] = (fault.units * Math.sin(angle)) / open.faultSd[fault.kind]!;
		return look(global);
	});
}

/** The kind and size of fault that would make the first run's largest reading. */
function strongestFault(layout: RotorLayout): { kind: number; units: number } | null {
	let found: { kind: number; units: number; pull: number } | null = null;
	for (const [k, reading] of (layout.runs[0]?.readings ?? []).entries()) {
		if (!reading) continue;
		for (let kind = 0; kind < layout.kinds.length; kind++) {
			const at = 2 * (k * layout.kinds.length + kind);
			const pull = Math.hypot(layout.table[at]!, layout.table[at + 1]!);
			if (pull > (found?.pull ?? 0)) found = { kind, units: reading.amplitudeIps / pull, pull };
		}
	}
	return found;
}

function measuredLevels(layout: RotorLayout): Float64Array {
	const levels = new Float64Array(layout.runs.length * layout.channels.length);
	for (const [r, run] of layout.runs.entries()) {
		for (const [k, reading] of run.readings.entries())
			levels[r * layout.channels.length + k] = reading?.amplitudeIps ?? 0;
	}
	return levels;
}

/** Amplitudes behind the readings of (run, channel) as a fit has them. */
export function fittedLevels(layout: RotorLayout, found: Fit): Float64Array {
	const levels = new Float64Array(layout.runs.length * layout.channels.length);
	const v = new Float64Array(2);
	for (const [r, run] of layout.runs.entries()) {
		const pull = pullOf(layout, found.values, run.moved, run.bendOf);
		for (let k = 0; k < layout.channels.length; k++) {
			respond(layout, found.values, k, pull, v);
			levels[r * layout.channels.length + k] = Math.hypot(v[0]!, v[1]!);
		}
	}
	return levels;
}
