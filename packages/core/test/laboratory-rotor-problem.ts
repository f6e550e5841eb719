import type { Adjuster, Channel, Coefficient, Reading, RotorProblem } from '../src/balance/model.js';
import { angleOfDeg, type Complex, magnitude, scale, subtract } from '../src/phasor/index.js';
import { type Dwell, dwells, lineThrough, type Probe, probes } from './laboratory-rotor.js';

/** Holes of the disk: radius by the source's rig description. */
export const holeRadiusMm = 30;
/** The record taken as the balanced reference, and the one to be corrected. */
export const referenceGMm = 3;
export const faultGMm = 60;

const speeds = ['N1', 'N2'] as const;
const regimes = { N1: '1005 rpm', N2: '1206 rpm' } as const;

/** Five decimals: the digits of the data, which are rounded to 10 µV. */
const digits = (value: number) => Number(value.toFixed(5));
const degrees = (phasor: Complex) => Number(angleOfDeg(phasor).toFixed(2));

function meanOfRepeats(records: readonly Dwell[], probe: Probe): { readonly mean: Complex; readonly sd: number } {
	const [a, b] = records.map((record) => record.ips[probe]);
	if (!a || !b || records.length !== 2) throw new Error('two repeats expected');
	// per axis: half the difference squared is the variance of one record over both axes
	return { mean: { re: (a.re + b.re) / 2, im: (a.im + b.im) / 2 }, sd: magnitude(subtract(a, b)) / (2 * Math.SQRT2) };
}

/**
 * The laboratory rotor as a rotor problem: coefficients from the records of 6 to 48 g·mm, the record of 60 g·mm as the
 * fault, the record of 3 g·mm as the balanced reference. The record to be corrected is not used for the coefficients.
 */
export function laboratoryProblem(): RotorProblem {
	const disk = dwells().filter((record) => record.disk === 1);
	const channels: Channel[] = [];
	const coefficients: Coefficient[] = [];
	const readings: Record<string, Reading> = {};
	for (const speed of speeds) {
		const records = disk.filter((record) => record.speed === speed);
		const at = (unbalance: number) => records.filter(({ unbalanceGMm }) => unbalanceGMm === unbalance);
		const learned = records.filter(({ unbalanceGMm: u }) => u !== referenceGMm && u !== faultGMm);
		for (const probe of probes) {
			const id = `${regimes[speed]}/${probe}`;
			channels.push({ id, regime: regimes[speed], station: probe, limitIps: 0.1, goalIps: 0.05 });
			const line = lineThrough(learned, (record) => record.ips[probe]);
			const perGram = scale(line.coefficients[1] as Complex, holeRadiusMm);
			const sdPerGram = (line.coefficientSds[1] as number) * holeRadiusMm;
			coefficients.push({
				channel: id,
				kind: 'mass',
				amplitudeIpsPerUnit: digits(magnitude(perGram)),
				phaseDeg: degrees(perGram),
				sdRelative: Number((sdPerGram / magnitude(perGram)).toFixed(3)),
			});
			const fault = meanOfRepeats(at(faultGMm), probe);
			const reference = meanOfRepeats(at(referenceGMm), probe);
			const change = subtract(fault.mean, reference.mean);
			readings[id] = {
				amplitudeIps: digits(magnitude(change)),
				phaseDeg: degrees(change),
				sdIps: digits(Math.hypot(fault.sd, reference.sd)),
			};
		}
	}
	return {
		format: 'stillmast/rotor@1',
		rotor: { id: 'disk-1', rpm: 1206, blades: [{ id: 'mark', passAngleDeg: 0 }] },
		channels,
		adjusters: Array.from({ length: 16 }, (_, hole) => holeAt(hole)),
		coefficients,
		noise: { sdIps: 0.008, commonShare: 0 },
		runs: [{ id: 'found', settings: {}, readings }],
		maxTouches: 2,
	};
}

function holeAt(hole: number): Adjuster {
	const passAngleDeg = hole * 22.5;
	const id = `hole-${String(hole + 1).padStart(2, '0')}`;
	return { id, kind: 'mass', blade: null, passAngleDeg, min: 0, max: 2.5, step: 0.1, unit: 'g', effort: 1 };
}
