import { describe, expect, it } from 'vitest';
import { checkRotor, type RotorProblem, type RotorProblemCode, solveRotor } from '../src/balance/index.js';
import { contractExample, threeBlades } from './balance-examples.js';

const [plate] = contractExample.adjusters;
const [coefficient] = contractExample.coefficients;
const [channel] = contractExample.channels;
const [run] = contractExample.runs!;
const with_ = (change: Partial<RotorProblem>): RotorProblem => ({ ...contractExample, ...change });

/** One row per way a problem can be wrong: code, JSON path, the problem. */
const wrong: readonly (readonly [RotorProblemCode, string, RotorProblem])[] = [
	['no-channels', '$.channels', with_({ channels: [] })],
	['no-adjusters', '$.adjusters', with_({ adjusters: [] })],
	['no-coefficients', '$.coefficients', with_({ coefficients: [] })],
	['too-large', '$.runs', with_({ runs: Array.from({ length: 61 }, (_, n) => ({ ...run!, id: `r${n}` })) })],
	['duplicate-id', '$.channels[1].id', with_({ channels: [channel!, channel!] })],
	['duplicate-id', '$.adjusters[1].id', with_({ adjusters: [plate!, plate!] })],
	['duplicate-id', '$.coefficients[1]', with_({ coefficients: [coefficient!, coefficient!] })],
	['unknown-blade', '$.adjusters[0].blade', with_({ adjusters: [{ ...plate!, blade: 'Z' }] })],
	['unknown-blade', '$.untouchedBlade', with_({ untouchedBlade: 'Z' })],
	['unknown-channel', '$.coefficients[0].channel', with_({ coefficients: [{ ...coefficient!, channel: 'x' }] })],
	['unknown-kind', '$.coefficients[0].kind', with_({ coefficients: [{ ...coefficient!, kind: 'washer' }] })],
	['unknown-kind', '$.priors[0].kind', with_({ priors: [{ kind: 'washer' }] })],
	['unknown-kind', '$.stock.washer', with_({ stock: { washer: 2 } })],
	[
		'unknown-kind',
		'$.rotor.meanChangeLimit.washer',
		with_({ rotor: { ...contractExample.rotor, meanChangeLimit: { washer: 1 } } }),
	],
	['unknown-adjuster', '$.locked[0]', with_({ locked: ['plate-Z'] })],
	['unknown-adjuster', "$.runs[0].settings['plate-Z']", with_({ runs: [{ ...run!, settings: { 'plate-Z': 1 } }] })],
	[
		'unknown-channel',
		"$.runs[0].readings['cruise/lat']",
		with_({ runs: [{ ...run!, readings: { 'cruise/lat': { amplitudeIps: 0.1, phaseDeg: 0 } } }] }),
	],
	['setting-out-of-range', "$.runs[0].settings['plate-A']", with_({ runs: [{ ...run!, settings: { 'plate-A': 9 } }] })],
	[
		'setting-out-of-range',
		"$.runs[0].settings['plate-A']",
		with_({ adjusters: [{ ...plate!, min: 1 }], runs: [{ ...run!, settings: {} }] }),
	],
	[
		'not-a-number',
		"$.runs[0].readings['hover/lat'].amplitudeIps",
		with_({ runs: [{ ...run!, readings: { 'hover/lat': { amplitudeIps: Number.NaN, phaseDeg: 0 } } }] }),
	],
	[
		'not-a-number',
		"$.runs[0].settings['plate-A']",
		with_({ runs: [{ ...run!, settings: { 'plate-A': Number.POSITIVE_INFINITY } }] }),
	],
	[
		'out-of-range',
		"$.runs[0].readings['hover/lat'].amplitudeIps",
		with_({ runs: [{ ...run!, readings: { 'hover/lat': { amplitudeIps: -0.1, phaseDeg: 0 } } }] }),
	],
	['out-of-range', '$.channels[0].limitIps', with_({ channels: [{ ...channel!, limitIps: 0 }] })],
	['out-of-range', '$.adjusters[0].step', with_({ adjusters: [{ ...plate!, step: 0 }] })],
	['out-of-range', '$.adjusters[0].max', with_({ adjusters: [{ ...plate!, max: -1 }] })],
	['out-of-range', '$.noise.commonShare', with_({ noise: { sdIps: 0.02, commonShare: 1.5 } })],
	['out-of-range', '$.coefficients[0].sdRelative', with_({ coefficients: [{ ...coefficient!, sdRelative: -0.1 }] })],
	['too-many-settings', '$.adjusters[0]', with_({ adjusters: [{ ...plate!, step: 0.001 }] })],
	[
		'unknown-regime',
		'$.track.limits[0].regime',
		with_({ track: { units: 'mm', positive: 'high', limits: [{ regime: 'cruise', spreadMm: 10 }] } }),
	],
	['unknown-blade', '$.runs[0].track.hover.Z', with_({ runs: [{ ...run!, track: { hover: { Z: 1 } } }] })],
];

describe('checkRotor(problem)', () => {
	it.each(wrong)(
		'[BAL-30] %s at %s comes back with its path, what was found and what is needed',
		(code, path, problem) => {
			const checked = checkRotor(problem);
			expect(checked).toMatchObject({ ok: false, problem: { code, path } });
			if (!checked.ok) {
				expect(checked.problem.found).toBeDefined();
				expect(checked.problem.needed).toBeDefined();
			}
			expect(solveRotor(problem)).toEqual(checked);
		},
	);

	it('[BAL-30] a sound problem comes back as it is', () => {
		for (const problem of [contractExample, threeBlades])
			expect(checkRotor(problem)).toEqual({ ok: true, value: problem });
	});
});
