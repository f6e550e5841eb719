import { fail, ok, type Result } from '../result/index.js';
import type { RotorProblemCode, RotorProblemFault } from './fault.js';
import type { Adjuster, RotorProblem, Run } from './model.js';

/** More than this is not a rotor but a mistake, and would take minutes. */
const most = { channels: 64, adjusters: 48, runs: 60, settings: 2000 };

type Fault = RotorProblemFault | null;

/**
 * The problem itself when it means something: ids that exist, numbers inside their ranges. The first fault found comes
 * back with its JSON path; shapes are the schema's business. One test per code in balance-check.test.ts.
 */
export function checkRotor(problem: RotorProblem): Result<RotorProblem, RotorProblemFault> {
	const fault =
		sizes(problem) ??
		channelFault(problem) ??
		adjusterFaults(problem) ??
		coefficientFault(problem) ??
		noiseFault(problem) ??
		referenceFault(problem) ??
		trackFault(problem) ??
		first(problem.runs ?? [], (run, r) => runFault(problem, run, `$.runs[${r}]`));
	return fault ? fail(fault) : ok(problem);
}

function fault(code: RotorProblemCode, path: string, found: unknown, needed: unknown): RotorProblemFault {
	return { code, path, found, needed };
}

function first<T>(items: readonly T[], check: (item: T, index: number) => Fault): Fault {
	for (const [index, item] of items.entries()) {
		const found = check(item, index);
		if (found) return found;
	}
	return null;
}

/** A number inside [low, high]; undefined is the caller's default. */
function range(value: number | undefined, path: string, low: number, high: number): Fault {
	if (value === undefined) return null;
	if (!Number.isFinite(value)) return fault('not-a-number', path, String(value), 'a finite number');
	if (value < low || value > high) return fault('out-of-range', path, value, [low, high]);
	return null;
}

function positive(value: number | undefined, path: string): Fault {
	return range(value, path, Number.MIN_VALUE, Number.MAX_VALUE);
}

function any(value: number | undefined, path: string): Fault {
	return range(value, path, -Number.MAX_VALUE, Number.MAX_VALUE);
}

function sizes(problem: RotorProblem): Fault {
	const { channels, adjusters, coefficients, runs = [] } = problem;
	if (channels.length === 0) return fault('no-channels', '$.channels', 0, 'at least 1');
	if (adjusters.length === 0) return fault('no-adjusters', '$.adjusters', 0, 'at least 1');
	if (coefficients.length === 0 && runs.some((run) => run.use !== false)) {
		return fault('no-coefficients', '$.coefficients', 0, 'at least 1 where there are runs to learn from');
	}
	for (const [name, count] of [
		['channels', channels.length],
		['adjusters', adjusters.length],
		['runs', runs.length],
	] as const) {
		if (count > most[name]) return fault('too-large', `$.${name}`, count, `at most ${most[name]}`);
	}
	return (
		duplicate(channels, '$.channels') ??
		duplicate(adjusters, '$.adjusters') ??
		duplicate(runs, '$.runs') ??
		duplicate(problem.rotor.blades, '$.rotor.blades')
	);
}

function duplicate(items: readonly { readonly id: string }[], path: string): Fault {
	const seen = new Set<string>();
	return first(items, (item, i) => {
		if (seen.has(item.id)) return fault('duplicate-id', `${path}[${i}].id`, item.id, 'an id used once');
		seen.add(item.id);
		return null;
	});
}

function channelFault(problem: RotorProblem): Fault {
	return (
		positive(problem.rotor.rpm, '$.rotor.rpm') ??
		first(problem.rotor.blades, (blade, b) => any(blade.passAngleDeg, `$.rotor.blades[${b}].passAngleDeg`)) ??
		first(problem.channels, (channel, k) => {
			const path = `$.channels[${k}]`;
			return (
				positive(channel.limitIps, `${path}.limitIps`) ??
				positive(channel.goalIps, `${path}.goalIps`) ??
				positive(channel.stopIps, `${path}.stopIps`) ??
				range(channel.weight, `${path}.weight`, 0, Number.MAX_VALUE)
			);
		})
	);
}

function adjusterFaults(problem: RotorProblem): Fault {
	const blades = new Set(problem.rotor.blades.map((b) => b.id));
	return first(problem.adjusters, (adjuster, j) => {
		const path = `$.adjusters[${j}]`;
		if (adjuster.blade !== undefined && adjuster.blade !== null && !blades.has(adjuster.blade)) {
			return fault('unknown-blade', `${path}.blade`, adjuster.blade, [...blades]);
		}
		return (
			any(adjuster.passAngleDeg, `${path}.passAngleDeg`) ??
			any(adjuster.min, `${path}.min`) ??
			range(adjuster.max, `${path}.max`, adjuster.min, Number.MAX_VALUE) ??
			positive(adjuster.step, `${path}.step`) ??
			range(adjuster.effort, `${path}.effort`, 0, Number.MAX_VALUE) ??
			range(adjuster.settingSd, `${path}.settingSd`, 0, Number.MAX_VALUE) ??
			any(adjuster.scale, `${path}.scale`) ??
			any(adjuster.rotorRpmPctPerUnit, `${path}.rotorRpmPctPerUnit`) ??
			first(adjuster.values ?? [], (value, n) => any(value, `${path}.values[${n}]`)) ??
			pieceFault(adjuster, path) ??
			settingCount(adjuster, path)
		);
	});
}

function pieceFault(adjuster: Adjuster, path: string): Fault {
	return first(adjuster.pieces ?? [], (piece, n) => {
		const at = `${path}.pieces[${n}]`;
		return (
			positive(piece.amount, `${at}.amount`) ??
			range(piece.stock, `${at}.stock`, 0, Number.MAX_SAFE_INTEGER) ??
			range(piece.maxHere, `${at}.maxHere`, 0, Number.MAX_SAFE_INTEGER)
		);
	});
}

function settingCount(adjuster: Adjuster, path: string): Fault {
	const count = adjuster.values?.length ?? (adjuster.pieces ? 0 : (adjuster.max - adjuster.min) / adjuster.step + 1);
	return count > most.settings ? fault('too-many-settings', path, Math.floor(count), `at most ${most.settings}`) : null;
}

function coefficientFault(problem: RotorProblem): Fault {
	const channels = new Set(problem.channels.map((c) => c.id));
	const kinds = new Set(problem.adjusters.map((a) => a.kind));
	const seen = new Set<string>();
	return (
		first(problem.coefficients, (c, n) => {
			const path = `$.coefficients[${n}]`;
			if (!channels.has(c.channel)) return fault('unknown-channel', `${path}.channel`, c.channel, [...channels]);
			if (!kinds.has(c.kind)) return fault('unknown-kind', `${path}.kind`, c.kind, [...kinds]);
			const pair = JSON.stringify([c.channel, c.kind]);
			if (seen.has(pair))
				return fault('duplicate-id', path, [c.channel, c.kind], 'one coefficient per channel and kind');
			seen.add(pair);
			return (
				range(c.amplitudeIpsPerUnit, `${path}.amplitudeIpsPerUnit`, 0, Number.MAX_VALUE) ??
				any(c.phaseDeg, `${path}.phaseDeg`) ??
				range(c.sdRelative, `${path}.sdRelative`, 0, 10)
			);
		}) ??
		first(problem.priors ?? [], (prior, n) => {
			const path = `$.priors[${n}]`;
			if (!kinds.has(prior.kind)) return fault('unknown-kind', `${path}.kind`, prior.kind, [...kinds]);
			return (
				range(prior.commonGainSd, `${path}.commonGainSd`, 0, 10) ??
				range(prior.commonPhaseSdDeg, `${path}.commonPhaseSdDeg`, 0, 360) ??
				range(prior.channelSd, `${path}.channelSd`, 0, 10) ??
				range(prior.adjusterSd, `${path}.adjusterSd`, 0, 10) ??
				positive(prior.gain, `${path}.gain`) ??
				any(prior.phaseDeg, `${path}.phaseDeg`)
			);
		})
	);
}

function noiseFault({ noise }: RotorProblem): Fault {
	return (
		range(noise.sdIps, '$.noise.sdIps', 0, Number.MAX_VALUE) ??
		range(noise.sdRelative, '$.noise.sdRelative', 0, 10) ??
		range(noise.commonShare, '$.noise.commonShare', 0, 1) ??
		range(noise.withinSdIps, '$.noise.withinSdIps', 0, Number.MAX_VALUE)
	);
}

function referenceFault(problem: RotorProblem): Fault {
	const adjusters = new Set(problem.adjusters.map((a) => a.id));
	const kinds = new Set(problem.adjusters.map((a) => a.kind));
	const blades = new Set(problem.rotor.blades.map((b) => b.id));
	const untouched = problem.untouchedBlade;
	return (
		first(problem.locked ?? [], (id, n) =>
			adjusters.has(id) ? null : fault('unknown-adjuster', `$.locked[${n}]`, id, [...adjusters]),
		) ??
		perKind(problem.stock, '$.stock', kinds) ??
		perKind(problem.rotor.meanChangeLimit, '$.rotor.meanChangeLimit', kinds) ??
		(untouched !== undefined && untouched !== null && !blades.has(untouched)
			? fault('unknown-blade', '$.untouchedBlade', untouched, [...blades])
			: null) ??
		range(problem.cautionSd, '$.cautionSd', 0, 10) ??
		range(problem.maxTouches, '$.maxTouches', 0, most.adjusters)
	);
}

function perKind(table: Readonly<Record<string, number>> | undefined, path: string, kinds: ReadonlySet<string>): Fault {
	return first(Object.entries(table ?? {}), ([kind, value]) => {
		const at = `${path}${key(kind)}`;
		if (!kinds.has(kind)) return fault('unknown-kind', at, kind, [...kinds]);
		return range(value, at, 0, Number.MAX_VALUE);
	});
}

function trackFault(problem: RotorProblem): Fault {
	const { track } = problem;
	if (!track) return null;
	const regimes = new Set(problem.channels.map((c) => c.regime));
	const kinds = new Set(problem.adjusters.map((a) => a.kind));
	return (
		first(track.limits ?? [], (limit, n) =>
			regimes.has(limit.regime)
				? positive(limit.spreadMm, `$.track.limits[${n}].spreadMm`)
				: fault('unknown-regime', `$.track.limits[${n}].regime`, limit.regime, [...regimes]),
		) ??
		first(track.coefficients ?? [], (c, n) => {
			const path = `$.track.coefficients[${n}]`;
			if (!regimes.has(c.regime)) return fault('unknown-regime', `${path}.regime`, c.regime, [...regimes]);
			if (!kinds.has(c.kind)) return fault('unknown-kind', `${path}.kind`, c.kind, [...kinds]);
			return any(c.mmPerUnit, `${path}.mmPerUnit`) ?? range(c.sdRelative, `${path}.sdRelative`, 0, 10);
		})
	);
}

function runFault(problem: RotorProblem, run: Run, path: string): Fault {
	const adjusters = new Map(problem.adjusters.map((a) => [a.id, a]));
	const channels = new Set(problem.channels.map((c) => c.id));
	const blades = new Set(problem.rotor.blades.map((b) => b.id));
	return (
		first(Object.entries(run.settings ?? {}), ([id, value]) => {
			const at = `${path}.settings${key(id)}`;
			const adjuster = adjusters.get(id);
			if (!adjuster) return fault('unknown-adjuster', at, id, [...adjusters.keys()]);
			if (!Number.isFinite(value)) return fault('not-a-number', at, String(value), 'a finite number');
			if (value < adjuster.min - 1e-9 || value > adjuster.max + 1e-9) {
				return fault('setting-out-of-range', at, value, [adjuster.min, adjuster.max]);
			}
			return null;
		}) ??
		first(problem.adjusters, (a) =>
			run.settings?.[a.id] === undefined && (a.min > 0 || a.max < 0)
				? fault('setting-out-of-range', `${path}.settings${key(a.id)}`, 0, [a.min, a.max])
				: null,
		) ??
		first(Object.entries(run.readings), ([id, reading]) => {
			const at = `${path}.readings${key(id)}`;
			if (!channels.has(id)) return fault('unknown-channel', at, id, [...channels]);
			return (
				range(reading.amplitudeIps, `${at}.amplitudeIps`, 0, 1e3) ??
				any(reading.phaseDeg ?? undefined, `${at}.phaseDeg`) ??
				range(reading.sdIps, `${at}.sdIps`, 0, 1e3)
			);
		}) ??
		range(run.context?.extraSdIps, `${path}.context.extraSdIps`, 0, 1e3) ??
		any(run.hoursH, `${path}.hoursH`) ??
		first(Object.entries(run.track ?? {}), ([regime, heights]) =>
			first(Object.entries(heights), ([blade, height]) => {
				const at = `${path}.track${key(regime)}${key(blade)}`;
				if (blade !== 'sdMm' && !blades.has(blade)) return fault('unknown-blade', at, blade, [...blades]);
				return any(height, at);
			}),
		)
	);
}

/** `.plate` or `['plate-A']`. */
function key(name: string): string {
	return /^[A-Za-z_]\w*$/.test(name) ? `.${name}` : `['${name.replaceAll("'", "\\'")}']`;
}
